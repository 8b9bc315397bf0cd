/**
 * What it costs to analyse a folder of 70 text files of 1,000 points: processor time of a fresh process, less what
 * Node takes to start and do nothing. The peer is the time it may take.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { gaussianNumbers } from '../../libs/acoustics/testing/gaussianNumbers.js';
import { median } from './pairedMedians.js';
import { againstLimit, type BenchRow } from './row.js';

const RUNS = 7;
const POINTS = 1000;
const MAY_TAKE_MS = 500;
const NOISE_DB = 0.05;
const root = fileURLToPath(new URL('../../..', import.meta.url));

export function benchFolder(): readonly BenchRow[] {
  const folder = mkdtempSync(path.join(tmpdir(), 'sojourn-bench-'));
  try {
    for (const [name, text] of files()) writeFileSync(path.join(folder, name), text);
    const analyse = [path.join(root, 'scripts', 'door.mjs'), 'analyse', folder, '--json'];
    const spent = Array.from({ length: RUNS }, () => processorMs(analyse) - processorMs(['-e', '']));
    const name = 'analyse: 70 text files of 1,000 points, processor time beyond the start of Node';
    return [againstLimit(name, median(spent), MAY_TAKE_MS, RUNS)];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Processor time of a Node process that runs `argv`, ms: measured by the process itself as it ends. */
function processorMs(argv: readonly string[]): number {
  const { status, stderr } = spawnSync(process.execPath, ['--import', reporter(), ...argv], {
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  const spent = /processor time ([\d.]+)/.exec(stderr)?.[1];
  if (status !== 0 || !spent) throw new Error(`node ${argv.join(' ')} ended with ${status}: ${stderr}`);
  return Number(spent);
}

function reporter(): string {
  const report = `process.on('exit', () => { const { user, system } = process.cpuUsage();
    process.stderr.write('processor time ' + (user + system) / 1000); });`;
  return `data:text/javascript,${encodeURIComponent(report)}`;
}

/** Both orbits of a two-way of invented numbers: a vented bass, a narrowing treble and six resonances. */
function files(): [name: string, text: string][] {
  const noise = gaussianNumbers(7);
  const angles = Array.from({ length: 36 }, (_, index) => index * 10 - 170);
  return (['h', 'v'] as const).flatMap((orbit) =>
    angles
      .filter((angle) => orbit === 'h' || angle % 180 !== 0)
      .map((angle): [string, string] => {
        const rows = Array.from({ length: POINTS }, (_, index) => {
          const hz = 20 * 1000 ** (index / (POINTS - 1));
          return `${hz.toFixed(3)},${(levelDb(angle, hz) + NOISE_DB * noise()).toFixed(3)},${(hz % 180).toFixed(2)}`;
        });
        const place = `${angle < 0 ? '-' : '+'}${String(Math.abs(angle)).padStart(3, '0')}`;
        return [`${orbit}${place}.csv`, `frequency_hz,magnitude_db,phase_deg\n${rows.join('\n')}\n`];
      }),
  );
}

function levelDb(angleDeg: number, hz: number): number {
  const bass = -10 * Math.log10(1 + (45 / hz) ** 8);
  const beaming = -6 * Math.max(0, Math.log2(hz / 300)) * ((1 - Math.cos((angleDeg * Math.PI) / 180)) / 2);
  const resonances = [180, 420, 980, 2100, 5200, 9800].reduce((sum, centreHz, index) => {
    const detune = (3 + index) * (hz / centreHz - centreHz / hz);
    return sum + ((index % 2 ? -1 : 1) * (1 + index / 3)) / (1 + detune ** 2);
  }, 0);
  return 88 + bass + beaming + resonances;
}
