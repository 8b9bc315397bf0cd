import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { formatProblem } from './problem.js';
import { readMeasurementSet } from './readMeasurementSet.js';
import { writeWav } from './wav/writeWav.js';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const curve = 'frequency_hz,magnitude_db\n20,80.5\n200,85.5\n2000,86.5\n';
const files = (named: Readonly<Record<string, string | Uint8Array | object>>) =>
  Object.entries(named).map(([name, content]) => ({
    name,
    bytes:
      content instanceof Uint8Array
        ? content
        : bytesOf(typeof content === 'string' ? content : JSON.stringify(content)),
  }));
const read = (
  named: Parameters<typeof files>[0],
  ...rest: [Parameters<typeof readMeasurementSet>[1]?, Parameters<typeof readMeasurementSet>[2]?]
) => readMeasurementSet(files(named), ...rest);
const click = writeWav([Float64Array.from({ length: 64 }, (_, at) => (at === 8 ? 0.5 : 0))], 48_000, {
  format: { bits: 16, float: false },
});

describe('by name', () => {
  it('reads every kind of file and says what each was taken as, with its hash', async () => {
    const { set, problems } = await read({
      'h+030.csv': curve,
      'V -10.csv': curve,
      'h330.wav': click,
      'impedance.txt': '20 8.5 -30\n200 6.5 10',
      'distortion_86db.csv': 'frequency_hz,thd_percent,h2_db\n20,3.5,-30\n200,0.5,-50',
      'multitone_86db.csv': '20;0,5\n200;0,25',
      'compression_76db.csv': curve,
      'compression_96db.csv': curve,
      'in-room.csv': curve,
      '.DS_Store': 'junk',
      '__MACOSX/._h+030.csv': 'junk',
    });
    expect(problems).toStrictEqual([]);
    expect(set!.inputs.map(({ file, role, kind }) => `${file} ${role} ${kind}`)).toStrictEqual([
      'h+030.csv directivity delimited-text',
      'V -10.csv directivity delimited-text',
      'h330.wav directivity wav',
      'impedance.txt impedance delimited-text',
      'distortion_86db.csv distortion delimited-text',
      'multitone_86db.csv multitone delimited-text',
      'compression_76db.csv compression delimited-text',
      'compression_96db.csv compression delimited-text',
      'in-room.csv in-room delimited-text',
    ]);
    expect(set!.inputs[0].sha256).toBe(createHash('sha256').update(curve).digest('hex'));
    expect(set!.angles.map(({ orbit, angleDeg }) => [orbit, angleDeg])).toStrictEqual([
      ['horizontal', 30],
      ['vertical', -10],
    ]);
    expect(set!.impulses[0].angleDeg).toBe(-30);
    expect(set!.compression.map(({ levelDb }) => levelDb)).toStrictEqual([76, 96]);
    expect(set!.distortion[0].levelDb).toBe(86);
  });

  it('names a file it does not understand and shows an accepted name', async () => {
    const { set, problems } = await read({
      'h+030.csv': curve,
      'on axis.csv': curve,
      'tune.wav': click,
      'photo.jpg': 'x',
    });
    expect(set).toBeUndefined();
    expect(problems.map(({ file, code }) => [file, code])).toStrictEqual([
      ['tune.wav', 'name-not-understood'],
      ['photo.jpg', 'kind-not-read'],
      ['on axis.csv', 'name-not-understood'],
    ]);
    expect(problems.map(formatProblem).join('\n')).toContain('h+030.csv');
  });

  it('shows every fault of every file at once, one line each', async () => {
    const { problems } = await read({
      'h+030.csv': `${curve}oops\n`,
      'v+030.csv': '20,x\n',
      'h\n+040.csv': '',
    });
    const lines = problems.map(formatProblem);
    expect(lines).toHaveLength(3);
    expect(lines[0]).toMatch(/^h\+030\.csv:5: Expected a row of numbers, found "oops"\. .+\.$/);
    expect(lines.every((line) => !line.includes('\n'))).toBe(true);
  });

  it('takes a level from the caller where none is stated', async () => {
    const { set } = await read({ 'distortion.csv': '20,0.5\n200,0.25' }, undefined, {
      levelDb: 86,
      ratedOhm: 4,
    });
    expect(set!.distortion[0].levelDb).toBe(86);
    expect(set!.conditions.ratedOhm).toBe(4);
  });

  it('refuses an empty set', async () => {
    expect((await read({})).problems[0].code).toBe('empty-set');
    expect((await read({ '.hidden': 'x' })).problems[0].code).toBe('empty-set');
    expect((await read({ 'manifest.json': '{}' })).problems[0].code).toBe('empty-set');
  });
});

describe('by manifest', () => {
  it('says what files are, under what conditions, and completes names', async () => {
    const { set, problems } = await read({
      'set/manifest.json': {
        conditions: { distanceM: 2, grille: 'off' },
        mirrorHorizontal: true,
        fullScaleDb: 110,
        files: [
          {
            file: 'first.csv',
            role: 'directivity',
            orbit: 'vertical',
            angleDeg: 350,
            conditions: { grille: 'on' },
          },
          { file: 'raw/click.wav', role: 'directivity', orbit: 'horizontal', angleDeg: 0 },
          { file: 'H+010.CSV' },
        ],
      },
      'set/first.csv': curve,
      'set/raw/click.wav': click,
      'set/h+010.csv': curve,
      'set/v+020.csv': curve,
    });
    expect(problems).toStrictEqual([]);
    expect(set!.conditions).toStrictEqual({ distanceM: 2, grille: 'off', mirrorHorizontal: true });
    expect(set!.angles.map(({ orbit, angleDeg }) => `${orbit} ${angleDeg}`)).toStrictEqual([
      'vertical -10',
      'horizontal 10',
      'vertical 20',
    ]);
    expect(set!.angles[0].source.conditions).toStrictEqual({ grille: 'on' });
    expect(set!.impulses[0].fullScaleDb).toBe(110);
  });

  it('names a missing file with its line', async () => {
    const { problems } = await read({
      'manifest.json':
        '{"files": [\n{"file": "h+030.csv"},\n{"file": "../../etc/passwd"},\n{"file": "gone.csv", "role": "impedance"}]}',
      'h+030.csv': curve,
    });
    expect(problems.map(({ file, line, code }) => [file, line, code])).toStrictEqual([
      ['manifest.json', 3, 'manifest-file-missing'],
      ['manifest.json', 4, 'manifest-file-missing'],
    ]);
  });

  it('only notes what it does not list and the name does not say', async () => {
    const { set } = await read({
      'manifest.json': { files: [{ file: 'h+030.csv' }] },
      'h+030.csv': curve,
      'old one.csv': 'junk',
      'photo.jpg': 'x',
    });
    expect(set!.quality.map(({ code, file }) => [code, file])).toStrictEqual([
      ['not-listed', 'old one.csv'],
      ['not-listed', 'photo.jpg'],
    ]);
  });

  it('finds two lists of one file, and two manifests', async () => {
    const twice = await read({
      'manifest.json': { files: [{ file: 'h0.csv' }, { file: 'h0.csv' }] },
      'h0.csv': curve,
    });
    expect(twice.problems[0].code).toBe('manifest-duplicate');
    const two = await read({ 'a/manifest.json': {}, 'b/manifest.json': {}, 'a/h0.csv': curve });
    expect(two.problems[0].code).toBe('manifest-duplicate');
  });

  it('reads one file for two purposes', async () => {
    const table = 'frequency_hz;left;right\n20,5;80,5;70,5\n40,5;81,5;71,5';
    const { set, problems } = await read({
      'manifest.json': {
        files: [
          {
            file: 'both.csv',
            role: 'directivity',
            orbit: 'horizontal',
            angleDeg: 0,
            columns: { frequency_hz: 'frequency_hz', magnitude_db: 'left' },
          },
          {
            file: 'both.csv',
            role: 'directivity',
            orbit: 'horizontal',
            angleDeg: 10,
            columns: { frequency_hz: 'frequency_hz', magnitude_db: 'right' },
          },
        ],
      },
      'both.csv': table,
    });
    expect(problems).toStrictEqual([]);
    expect(set!.angles.map(({ levelDb }) => levelDb[0])).toStrictEqual([80.5, 70.5]);
    expect(set!.inputs).toHaveLength(1);
  });
});

describe('microphones', () => {
  const deviation = '20 0.5\n20000 -1.5';

  it('ties a curve to the calibration it names', async () => {
    const { set, problems } = await read({
      'manifest.json': { files: [{ file: 'h0.csv', microphone: 'Mic A' }] },
      'h0.csv': curve,
      'calibration_Mic A.csv': deviation,
    });
    expect(problems).toStrictEqual([]);
    expect(set!.calibrations.map(({ name }) => name)).toStrictEqual(['Mic A']);
    expect(set!.angles[0].source.microphone).toBe('Mic A');
    expect(set!.inputs.map(({ role }) => role)).toStrictEqual(['directivity', 'calibration']);
  });

  it('refuses a name without a calibration, and notes a curve that names none of several', async () => {
    const lost = await read({
      'manifest.json': { files: [{ file: 'h0.csv', microphone: 'B' }] },
      'h0.csv': curve,
      'calibration_A.csv': deviation,
    });
    expect(lost.problems.map(({ file, code }) => [file, code])).toStrictEqual([
      ['h0.csv', 'microphone-unknown'],
    ]);
    const several = await read({
      'h0.csv': curve,
      'calibration_A.csv': deviation,
      'calibration_B.csv': deviation,
    });
    expect(several.set!.quality.map(({ severity, code }) => [severity, code])).toStrictEqual([
      ['check', 'microphone-not-stated'],
    ]);
  });
});

it('holds to its limits before reading anything', async () => {
  expect((await read({ 'h0.csv': curve, 'h10.csv': curve }, { fileCount: 1 })).problems[0].code).toBe(
    'too-many-files',
  );
  expect((await read({ 'h0.csv': curve }, { fileBytes: 10 })).problems[0].code).toBe('file-too-large');
  expect((await read({ 'h0.csv': curve, 'h10.csv': curve }, { totalBytes: 80 })).problems[0].code).toBe(
    'set-too-large',
  );
});

it('leaves its input alone and gives the same again', async () => {
  const input = files({ 'h0.csv': curve, 'h10.csv': curve.replace('85.5', '84.5') });
  const before = structuredClone(input);
  expect(await readMeasurementSet(input)).toStrictEqual(await readMeasurementSet(input));
  expect(input).toStrictEqual(before);
});
