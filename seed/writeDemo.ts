import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { demoScenario, demoSetFiles } from './scenario.js';

const USAGE = 'Usage: writeDemo FOLDER [--seed N] [--unit NAME]...';

/**
 * Writes the invented measurement sets into folders below the one given, one per unit, for trying the analysis
 * on. Answers the exit code: 0, or 2 for bad arguments, which it names on standard error.
 */
export async function main(argv: readonly string[]): Promise<number> {
  const asked = parse(argv);
  if (typeof asked === 'string') {
    process.stderr.write(`${asked}\n${USAGE}\n`);
    return 2;
  }
  const { loans } = demoScenario({ seed: asked.seed, today: '2026-01-05' });
  const sets = loans.flatMap((loan) => loan.units.flatMap((unit) => unit.sets.map((set) => ({ unit, set }))));
  const known = sets.map(({ unit }) => unit.id);
  const unknown = asked.units.filter((id) => !known.includes(id));
  if (unknown.length > 0) {
    process.stderr.write(
      `No invented unit is called ${unknown.join(', ')}. There are: ${known.join(', ')}.\n`,
    );
    return 2;
  }
  for (const { unit, set } of sets) {
    if (asked.units.length > 0 && !asked.units.includes(unit.id)) continue;
    const folder = join(asked.folder, unit.id);
    await mkdir(folder, { recursive: true });
    const files = demoSetFiles(set, asked.seed);
    for (const file of files) await writeFile(join(folder, file.name), file.bytes);
    process.stdout.write(`${folder}: ${files.length} files (invented)\n`);
  }
  return 0;
}

interface Asked {
  readonly folder: string;
  readonly seed: number;
  readonly units: readonly string[];
}

/** What was asked for, or what is wrong with it. */
function parse(argv: readonly string[]): Asked | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: {
        seed: { type: 'string', default: '1' },
        unit: { type: 'string', multiple: true, default: [] },
      },
    });
    const [folder, ...more] = positionals;
    if (folder === undefined || more.length > 0) return 'Give one folder to write into.';
    if (!/^\d{1,9}$/.test(values.seed)) return `The seed must be a whole number, not "${values.seed}".`;
    return { folder, seed: Number(values.seed), units: values.unit };
  } catch (error) {
    if (error instanceof TypeError) return error.message;
    throw error;
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  process.exitCode = await main(process.argv.slice(2));
}
