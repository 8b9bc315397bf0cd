import { benchArrival } from './arrival.js';
import { benchArchive } from './archive/archive.js';
import { benchEqualiser } from './equaliser.js';
import { benchFigures } from './figures.js';
import { benchFolder } from './folder.js';
import { benchImpulses } from './impulses.js';
import { benchLoad } from './load/load.js';
import { benchPlanning } from './planning.js';
import { benchReads } from './reads.js';
import type { BenchModule, BenchRow } from './row.js';
import { benchSockets } from './sockets.js';
import { benchSweep } from './sweep.js';

/** Every topic of the benchmark, in the order it runs. */
const MODULES: readonly BenchModule[] = [
  { topic: 'impulses', run: benchImpulses },
  { topic: 'sweep', run: benchSweep },
  { topic: 'equaliser', run: benchEqualiser },
  { topic: 'figures', run: benchFigures },
  { topic: 'folder', run: benchFolder },
  { topic: 'planning', run: benchPlanning },
  { topic: 'sockets', run: benchSockets },
  { topic: 'reads', run: benchReads },
  { topic: 'arrival', run: benchArrival },
  { topic: 'archive', run: benchArchive },
  { topic: 'load', run: benchLoad },
];

const USAGE = `npm run bench -- [--json] [--only TOPIC]
  --json        print only the rows, as a JSON array
  --only TOPIC  one of ${MODULES.map(({ topic }) => topic).join(', ')}`;

/**
 * The benchmark door.
 *
 * @returns exit code: 0, or 2 for arguments it does not know
 */
export async function main(argv: readonly string[]): Promise<number> {
  const only = valueAfter(argv, '--only');
  const chosen = MODULES.filter(({ topic }) => only === undefined || topic === only);
  if (chosen.length === 0 || argv.some((word) => !['--json', '--only', only].includes(word))) {
    console.error(USAGE);
    return 2;
  }
  const rows: BenchRow[] = [];
  for (const { topic, run } of chosen) {
    console.error(`measuring: ${topic}`);
    rows.push(...(await run()));
  }
  console.log(argv.includes('--json') ? JSON.stringify(rows.map(told), null, 1) : table(rows));
  return 0;
}

function valueAfter(argv: readonly string[], name: string): string | undefined {
  const at = argv.indexOf(name);
  return at < 0 ? undefined : (argv[at + 1] ?? '');
}

const ratioOf = ({ ours, peer }: BenchRow): number | null => (peer === null ? null : ours / peer);

function told(row: BenchRow) {
  const { name, ours, peer, unit, higherIsBetter, runs } = row;
  return { name, ours, peer, unit, ratio: ratioOf(row), higherIsBetter, runs };
}

function table(rows: readonly BenchRow[]): string {
  const lines = rows.map((row) => {
    const { name, ours, peer, unit, runs } = row;
    const told =
      peer === null
        ? `${ours.toFixed(2)} ${unit}`.trimEnd()
        : `ours ${ours.toFixed(2)} ${unit}, peer ${peer.toFixed(2)} ${unit}, ratio ${(ours / peer).toFixed(2)}`;
    return `${name}\n    ${told} (${runs} runs)`;
  });
  return [
    ...lines,
    'Other work on the machine moves the times; the ratios less, where both were asked in turn.',
  ].join('\n');
}
