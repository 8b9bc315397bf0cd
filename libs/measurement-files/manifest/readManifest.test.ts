import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { defaultLimits } from '../limits.js';
import { lineOfJsonPath } from './lineOfJsonPath.js';
import { readManifest } from './readManifest.js';

const read = (text: string | object) =>
  readManifest(
    'manifest.json',
    new TextEncoder().encode(typeof text === 'string' ? text : JSON.stringify(text, null, 1)),
    defaultLimits,
  );

it('reads the whole of what a manifest may state', () => {
  const manifest = {
    conditions: {
      distanceM: 2,
      driveVolts: 2.83,
      grille: 'off',
      referenceAxis: 'tweeter',
      temperatureC: 21.5,
      mirrorHorizontal: true,
      ratedOhm: 6,
      unit: 'Left',
      serial: '0042',
    },
    mirrorHorizontal: false,
    fullScaleDb: 120,
    files: [
      { file: 'a.csv', role: 'directivity', orbit: 'horizontal', angleDeg: 350 },
      { file: 'b.csv', role: 'impedance', columns: ['frequency_hz', null, 'impedance_ohm'] },
      {
        file: 'c.wav',
        role: 'distortion',
        levelDb: 86,
        stimulus: { type: 'exponential-sweep', fromHz: 20, toHz: 20_000, seconds: 5, sampleRateHz: 48_000 },
      },
      {
        file: 'd.wav',
        role: 'multitone',
        levelDb: 86,
        channel: 2,
        microphone: 'A',
        stimulus: { type: 'multitone', frequenciesHz: [100, 1000] },
      },
      {
        file: 'e.csv',
        role: 'compression',
        levelDb: 96,
        columns: { frequency_hz: 1, magnitude_db: 'SPL' },
        conditions: { distanceM: 1 },
      },
    ],
  };
  const reading = read(manifest);
  expect(reading.problems).toStrictEqual([]);
  expect(reading.quality).toStrictEqual([]);
  expect(reading.manifest).toEqual(manifest);
});

it('takes null for not stated', () => {
  expect(read({ conditions: { grille: null }, files: [{ file: 'a.csv', angleDeg: null }] })).toMatchObject({
    problems: [],
  });
});

describe('faults are named with JSON path, line and what was found', () => {
  it.each([
    [
      '{\n "conditions": {\n  "grille": "maybe"\n }\n}',
      3,
      'conditions.grille must be one of "on", "off"; found "maybe".',
    ],
    ['{\n "conditions": { "distanceM": 0 } }', 2, 'conditions.distanceM must be above 0; found 0.'],
    [
      '{ "files": [\n {"file": "a.csv"},\n {"file": "b.csv",\n  "angleDeg": 400} ] }',
      4,
      'files[1].angleDeg must be below 360; found 400.',
    ],
    ['{ "files": [ {"role": "impedance"} ] }', 1, 'files[0].file must be a string; found nothing.'],
    ['{ "files": [ {"file": "x", "role": "loudness"} ] }', 1, 'files[0].role must be one of'],
    ['{ "files": "all" }', 1, 'files must be an array'],
    ['[]', 1, 'The manifest must be an object'],
    ['"text"', 1, 'The manifest must be an object'],
    ['{ "files": [ {"file": "x",\n "stimulus": {"type": "sweep"}} ] }', 2, 'files[0].stimulus.type'],
    [
      '{ "files": [ {"file": "x", "stimulus": {"type": "exponential-sweep", "fromHz": 20, "toHz": 30000, "seconds": 5, "sampleRateHz": 48000}} ] }',
      1,
      'files[0].stimulus.toHz must not be above half of "sampleRateHz"',
    ],
    ['{ "files": [ {"file": "x", "columns": [1, 2]} ] }', 1, 'files[0].columns'],
  ])('%j', (text, line, message) => {
    const { problems, manifest } = read(text);
    expect(manifest).toBeUndefined();
    expect(problems[0]).toMatchObject({ file: 'manifest.json', line, code: 'manifest-value' });
    expect(problems[0].message).toContain(message);
  });

  it.each([
    ['{ "files": [\n {"file": "a"}\n {"file": "b"} ] }', 'manifest-syntax', 3],
    ['{ "files": [', 'manifest-syntax', 1],
    ['{\n\n "a": nope }', 'manifest-syntax', 3],
    ['', 'empty-file', undefined],
  ])('not well-formed: %j', (text, code, line) => {
    const [fault] = read(text).problems;
    expect([fault.code, fault.line]).toStrictEqual([code, line]);
  });
});

it('notes keys that mean nothing, with their path', () => {
  const [note] = read({
    conditons: {},
    conditions: { drive: 2.83 },
    files: [{ file: 'a', angle: 30 }],
  }).quality;
  expect(note).toMatchObject({ severity: 'note', code: 'manifest-unknown-keys' });
  expect(note.message).toContain('"conditons", "conditions.drive", "files[0].angle"');
});

it('takes no harm from keys that name prototypes', () => {
  const text =
    '{"__proto__": {"polluted": 1}, "constructor": {"prototype": {"polluted": 1}}, "files": [{"file": "a", "__proto__": {"role": "impedance"}, "columns": {"__proto__": 1, "frequency_hz": 1}}]}';
  const { manifest, problems } = read(text);
  expect(problems).toStrictEqual([]);
  expect(manifest!.files![0].role).toBeUndefined();
  expect(({} as Record<string, unknown>).polluted).toBeUndefined();
});

it('refuses a manifest of unreasonable size', () => {
  expect(readManifest('manifest.json', new Uint8Array(2_000_000), defaultLimits).problems[0].code).toBe(
    'file-too-large',
  );
});

it('never throws on garbage', () => {
  fc.assert(
    fc.property(fc.oneof(fc.json(), fc.string(), fc.uint8Array()), (input) => {
      const bytes = typeof input === 'string' ? new TextEncoder().encode(input) : input;
      const { manifest, problems } = readManifest('manifest.json', bytes, defaultLimits);
      expect((manifest === undefined) === problems.length > 0).toBe(true);
    }),
  );
});

describe('lineOfJsonPath', () => {
  it('finds the line of any value in any layout', () => {
    const value = fc.letrec((tie) => ({
      value: fc.oneof({ maxDepth: 3 }, fc.integer(), fc.string(), fc.boolean(), tie('list'), tie('object')),
      list: fc.array(tie('value'), { maxLength: 4 }),
      object: fc.dictionary(fc.string({ maxLength: 4 }), tie('value'), { maxKeys: 4 }),
    })).value;
    fc.assert(
      fc.property(value, fc.array(fc.nat(3), { maxLength: 4 }), (root, turns) => {
        // Follow a random path into the value; in its printed form every member has a line of its own.
        const path: (string | number)[] = [];
        let place: unknown = { root };
        for (const turn of [0, ...turns]) {
          if (typeof place !== 'object' || place === null) break;
          const keys = Array.isArray(place) ? [...place.keys()] : Object.keys(place);
          if (keys.length === 0) break;
          const key = keys[turn % keys.length];
          path.push(key);
          place = (place as Record<string | number, unknown>)[key];
        }
        const marked = JSON.stringify({ root }, null, 1);
        const line = lineOfJsonPath(marked, path);
        const text = marked.split('\n')[line - 1];
        const last = path.at(-1);
        expect(typeof last === 'number' || text.includes(`${JSON.stringify(last)}:`)).toBe(true);
        // One blank of indent per level: the line is exactly as deep as the path.
        expect(/^ */.exec(text)![0]).toHaveLength(path.length);
      }),
    );
  });

  it('is not misled by brackets and quotes in strings, nor by a missing key', () => {
    const text = '{\n "a": "]}\\"[{",\n "b": [1,\n  {"c": 2}]}';
    expect(lineOfJsonPath(text, ['b', 1, 'c'])).toBe(4);
    expect(lineOfJsonPath(text, ['b', 9])).toBe(3);
    expect(lineOfJsonPath(text, ['z'])).toBe(1);
  });
});
