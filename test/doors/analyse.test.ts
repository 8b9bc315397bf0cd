import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { zipSync } from 'fflate';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { main } from '../../apps/cli/analyse.js';
import type { AnalysisResult, Curves } from '../../libs/acoustics/analysis.js';
import type { AngleResponse, Orbit } from '../../libs/acoustics/series.js';
import type { Problem } from '../../libs/measurement-files/problem.js';
import { writeSofa } from '../../libs/measurement-files/sofa/writeSofa.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'sojourn-analyse-'));
afterAll(() => rmSync(folder, { recursive: true }));
afterEach(() => vi.restoreAllMocks());

/** Runs the command in this process and hands back what it printed. */
async function run(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const printed = { out: '', err: '' };
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => (printed.out += String(text)) !== '');
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => (printed.err += String(text)) !== '');
  const code = await main(argv);
  vi.restoreAllMocks();
  return { code, ...printed };
}

const frequencyHz = Array.from({ length: 200 }, (_, at) => 20 * 1000 ** (at / 199));
const angles = Array.from({ length: 36 }, (_, at) => at * 10 - 170);
const orbits: readonly Orbit[] = ['horizontal', 'vertical'];
/** A cardioid of 90 dB on axis at every frequency; behind it, a floor that no mean notices. */
const cardioidDb = (angleDeg: number) =>
  90 + 20 * Math.log10(Math.max(1e-7, (1 + Math.cos((angleDeg * Math.PI) / 180)) / 2));
const conditions = { distanceM: 1, driveVolts: 2.83, unit: 'Invented cardioid', serial: '7', grille: 'off' };

function cardioidFiles(): Record<string, string> {
  const files: Record<string, string> = { 'manifest.json': JSON.stringify({ conditions }) };
  for (const orbit of orbits) {
    for (const angle of angles) {
      const rows = frequencyHz.map((hz) => `${hz.toFixed(6)},${cardioidDb(angle).toFixed(9)}`);
      files[`${orbit[0]}${angle < 0 ? '-' : '+'}${String(Math.abs(angle)).padStart(3, '0')}.csv`] =
        `frequency_hz,magnitude_db\n${rows.join('\n')}\n`;
    }
  }
  files['impedance.csv'] =
    `frequency_hz,impedance_ohm,phase_deg\n${frequencyHz.map((hz) => `${hz.toFixed(6)},8.0,-45.0`).join('\n')}\n`;
  return files;
}

function writeFolder(name: string, files: Readonly<Record<string, string | Uint8Array>>): string {
  const path = join(folder, name);
  mkdirSync(path, { recursive: true });
  for (const [file, content] of Object.entries(files)) writeFileSync(join(path, file), content);
  return path;
}

let cardioid: string;
beforeAll(() => {
  cardioid = writeFolder('cardioid', cardioidFiles());
});

/** dB below on axis at 1 kHz. */
function below(result: AnalysisResult, curve: keyof Curves): number {
  const at = result.frequencyHz!.findIndex((hz) => hz >= 1000);
  return result.curves![curve]![at] - result.curves!.onAxis![at];
}

const analysed = async (...argv: string[]) => {
  const { code, out, err } = await run(...argv, '--json');
  expect([code, err]).toStrictEqual([0, '']);
  return JSON.parse(out) as AnalysisResult;
};

describe('a cardioid, whose curves are known in closed form', () => {
  it('gives them through the door: window, reflections, power, in-room', async () => {
    const result = await analysed(cardioid);
    expect(result.schema).toBe('sojourn.analysis/1');
    expect(result.curves!.onAxis!.every((db) => Math.abs(db - 90) < 1e-6)).toBe(true);
    // Sums over the ANSI/CTA-2034-A members of ((1 + cos t) / 2)^2, in dB re on axis [derived].
    expect(below(result, 'listeningWindow')).toBeCloseTo(-0.21683, 5);
    expect(below(result, 'earlyReflections')).toBeCloseTo(-2.065498, 5);
    expect(below(result, 'soundPower')).toBeCloseTo(-4.672252, 5);
    expect(below(result, 'estimatedInRoom')).toBeCloseTo(-2.694853, 5);
    expect(result.sensitivity!.db).toBeCloseTo(90, 6);
    expect(result.impedance!.epdrMinimumOhm).toBeCloseTo(8 * 0.353553, 4);
    expect(result.inputs).toHaveLength(73);
    expect(result.inputs[0]).toMatchObject({ kind: 'delimited-text', role: 'directivity' });
    expect(result.inputs.every(({ sha256 }) => /^[0-9a-f]{64}$/.test(sha256))).toBe(true);
  });

  it.each([
    ['all-curves-mean', 'nineteen', -3.653846],
    ['five-group-mean', 'three', -1.92925],
    ['all-curves-mean', 'three', -1.763556],
  ])('with %s and %s', async (early, rear, expected) => {
    const result = await analysed(cardioid, '--early-reflections', early, '--rear-wall', rear);
    expect(below(result, 'earlyReflections')).toBeCloseTo(expected, 5);
    expect(result.settings).toMatchObject({ earlyReflections: early, rearWall: rear });
  });

  it('gives the same from an archive, one table and a SOFA file', async () => {
    const files = cardioidFiles();
    const zip = join(folder, 'cardioid.zip');
    writeFileSync(
      zip,
      zipSync(
        Object.fromEntries(
          Object.entries(files).map(([name, text]) => [`set/${name}`, new TextEncoder().encode(text)]),
        ),
      ),
    );
    const table = writeFolder('table', { 'orbits.csv': oneTable() });
    const sofa = join(folder, 'cardioid.sofa');
    writeFileSync(sofa, await cardioidSofa());
    const expected = await analysed(cardioid);
    for (const path of [zip, table, sofa]) {
      const { curves, frequencyHz: grid } = await analysed(path);
      expect(grid).toHaveLength(expected.frequencyHz!.length);
      for (const name of ['onAxis', 'listeningWindow', 'earlyReflections', 'soundPower'] as const) {
        curves![name]!.forEach((db, at) => expect(db).toBeCloseTo(expected.curves![name]![at], 4));
      }
    }
  });
});

function oneTable(): string {
  const header = [
    'frequency_hz',
    ...angles.map((angle) => `h${angle}`),
    ...angles.map((angle) => `v${angle}`),
  ];
  const rows = frequencyHz.map((hz) =>
    [hz, ...angles.map(cardioidDb), ...angles.map(cardioidDb)].map((value) =>
      value.toFixed(9).replace('.', ','),
    ),
  );
  return [header.join(';'), ...rows.map((row) => row.join(';'))].join('\r\n');
}

function cardioidSofa(): Promise<Uint8Array> {
  const hz = Float64Array.from(frequencyHz);
  const responses = orbits.flatMap((orbit) =>
    angles.map((angleDeg): AngleResponse => ({
      orbit,
      angleDeg,
      frequencyHz: hz,
      levelDb: hz.map(() => cardioidDb(angleDeg)),
      source: { file: '', sha256: '' },
    })),
  );
  const made = new Date(0);
  return writeSofa(responses, 1, {
    title: 'Invented cardioid',
    createdAt: made,
    modifiedAt: made,
    authorContact: '',
    organization: '',
    license: '',
    databaseName: 'invented',
    sourceType: 'invented',
    sourceManufacturer: 'Invented',
    referencePoint: '',
    applicationVersion: '0',
  });
}

describe('the bench sheet', () => {
  it('says what was measured, what came out and whether the unit may leave', async () => {
    const { code, out, err } = await run(cardioid, '--rated-ohm', '8');
    expect([code, err]).toStrictEqual([0, '']);
    for (const line of [
      /Unit +Invented cardioid, serial 7/,
      /Conditions +1 m, 2\.83 V, grille off/,
      /Files +72 directivity, 1 impedance/,
      /Sensitivity +90 dB at 2\.83 V and 1 m/,
      /1 kHz +90\.0 +89\.8 +87\.9 +85\.3/,
      /Minimum +8 \u2126/,
      /Quality of the data/,
    ])
      expect(out).toMatch(line);
    expect(out.split('\n').every((line) => line.length <= 110)).toBe(true);
  });

  it('names the missing angles of half a set and still exits 0', async () => {
    const files = Object.entries(cardioidFiles()).filter(([name]) => name.startsWith('h'));
    const path = writeFolder('half', Object.fromEntries(files));
    const result = await analysed(path);
    expect(result.curves?.onAxis).toBeDefined();
    expect(result.curves?.soundPower).toBeUndefined();
    expect(result.quality.some(({ code }) => code === 'missing-angle')).toBe(true);
    expect((await run(path)).out).toMatch(/BLOCKING|check/);
  });
});

describe('bad input exits 2', () => {
  const LINE = /^[^\n:]+(:\d+)?: [^\n]+\. [^\n]+\.$/;

  it('with one line per problem on standard error', async () => {
    const path = writeFolder('broken', {
      'h+000.csv': 'frequency_hz,magnitude_db\n20,80\n40,oops\n60,81\n',
      'h+010.csv': '20 80\n20 81\n',
      'summer holiday.csv': 'no measurement',
      'h+020.wav': 'RIFF....WAVE',
      'v+010.csv': new Uint8Array([0, 1, 2, 3]),
      'x.sofa': '\x89HDF\r\n\x1a\nnonsense',
    });
    const { code, out, err } = await run(path);
    expect([code, out]).toStrictEqual([2, '']);
    const lines = err.trimEnd().split('\n');
    expect(lines).toHaveLength(6);
    for (const line of lines) expect(line).toMatch(LINE);
    expect(lines).toContainEqual(expect.stringMatching(/^h\+000\.csv:3: "oops"/));
    expect(lines).toContainEqual(expect.stringMatching(/^h\+010\.csv:2: The frequency 20 Hz stands twice/));
    expect(lines).toContainEqual(expect.stringMatching(/^summer holiday\.csv:.*h\+030\.csv/));
  });

  it('with the problems as JSON too', async () => {
    const path = writeFolder('broken-json', { 'h+000.csv': '20,80\n40,x\n' });
    const { code, out, err } = await run(path, '--json');
    const said = JSON.parse(out) as { schema: string; problems: Problem[] };
    expect([code, said.schema]).toStrictEqual([2, 'sojourn.analysis/1']);
    expect(said.problems).toHaveLength(1);
    expect(said.problems[0]).toMatchObject({ file: 'h+000.csv', line: 2, code: 'not-a-number' });
    expect(Object.keys(said.problems[0]).toSorted()).toStrictEqual([
      'code',
      'file',
      'line',
      'message',
      'remedy',
    ]);
    expect(err.trimEnd()).toMatch(LINE);
  });

  it.each([
    [['missing'], 'not-found'],
    [[], 'argument'],
    [['a', 'b'], 'argument'],
    [['a', '--nonsense'], 'argument'],
    [['a', '--max-filters', '1.5'], 'argument'],
    [['a', '--level-db', 'loud'], 'argument'],
    [['a', '--rear-wall', 'four'], 'argument'],
    [['a', '--out'], 'argument'],
  ])('for %j', async (argv, code) => {
    const { code: exit, out, err } = await run(...argv, '--json');
    expect(exit).toBe(2);
    expect((JSON.parse(out) as { problems: Problem[] }).problems.map((found) => found.code)).toStrictEqual([
      code,
    ]);
    expect(err.trimEnd()).toMatch(LINE);
  });
});

describe('--out', () => {
  it('writes figures with their data and the result, whole and nothing else', async () => {
    const out = join(folder, 'out/deep');
    expect((await run(cardioid, '--out', out)).code).toBe(0);
    const names = readdirSync(out);
    expect(names).toContain('analysis.json');
    const figures = names.filter((name) => name.endsWith('.svg'));
    expect(figures.length).toBeGreaterThan(3);
    for (const svg of figures) {
      expect(names).toContain(svg.replace('.svg', '.csv'));
      expect(readFileSync(join(out, svg), 'utf8')).toMatch(/^<svg[\s>]/);
    }
    expect((JSON.parse(readFileSync(join(out, 'analysis.json'), 'utf8')) as AnalysisResult).schema).toBe(
      'sojourn.analysis/1',
    );
    expect(readdirSync(join(folder, 'out'))).toStrictEqual(['deep']);
  });

  it('says when the folder can not be written', async () => {
    const file = join(folder, 'a-file');
    writeFileSync(file, '');
    const { code, out } = await run(cardioid, '--json', '--out', file);
    expect(code).toBe(2);
    expect((JSON.parse(out) as { problems: Problem[] }).problems[0].code).toBe('not-writable');
  });
});

it('takes a level for files that state none', async () => {
  const path = writeFolder('distorted', {
    'distortion.csv': 'frequency_hz,thd_percent\n100,2.5\n1000,0.5\n',
    'h+000.csv': cardioidFiles()['h+000.csv'],
  });
  expect((await run(path)).code).toBe(2);
  expect((await run(path, '--level-db', '86')).code).toBe(0);
});

it('explains itself', async () => {
  const { code, out } = await run('--help');
  expect(code).toBe(0);
  for (const flag of [
    '--json',
    '--out',
    '--level-db',
    '--early-reflections',
    '--rear-wall',
    '--max-filters',
    '--rated-ohm',
  ]) {
    expect(out).toContain(flag);
  }
});

describe('as a command', () => {
  it('prints the result alone on standard output and answers with its exit code', () => {
    const good = spawnSync('npm', ['run', '--silent', 'analyse', '--', cardioid, '--json'], {
      cwd: root,
      encoding: 'utf8',
      maxBuffer: 1 << 26,
    });
    expect(good.status).toBe(0);
    expect((JSON.parse(good.stdout) as AnalysisResult).curves!.soundPower).toBeDefined();
    const bad = spawnSync('npm', ['run', '--silent', 'analyse', '--', join(folder, 'nowhere')], {
      cwd: root,
      encoding: 'utf8',
    });
    expect(bad.status).toBe(2);
    expect(bad.stdout).toBe('');
    expect(bad.stderr).toContain('nowhere: There is no such file or folder.');
  });
});
