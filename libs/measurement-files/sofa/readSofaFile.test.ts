import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { AngleResponse, Orbit } from '../../acoustics/series.js';
import { defaultLimits } from '../limits.js';
import type { FileTask } from '../reading.js';
import { fromSpherical, orbitDirection, unit, type Vector } from './directions.js';
import { writeHdf5 } from './hdf5.js';
import { readSofaFile } from './readSofaFile.js';
import { writeSofa, type SofaStatement } from './writeSofa.js';

const read = (bytes: Uint8Array, over: Partial<FileTask> = {}, limits = defaultLimits) =>
  readSofaFile(
    { file: 'x.sofa', bytes, sha256: '00', kind: 'sofa', content: undefined, distanceStated: false, ...over },
    limits,
  );

interface Numbers {
  readonly shape: number[];
  readonly data: ArrayLike<number>;
  readonly attributes?: Readonly<Record<string, string>>;
  readonly dtype?: string;
}

/** A SOFA-like file with exactly the given variables; only the text attributes are filled in. */
function makeSofa(
  variables: Readonly<Record<string, Numbers>>,
  attributes: Readonly<Record<string, string>> = {},
): Promise<Uint8Array> {
  const global = {
    Conventions: 'SOFA',
    SOFAConventions: 'FreeFieldDirectivityTF',
    DataType: 'TF',
    ...attributes,
  };
  return writeHdf5((file) => {
    for (const [name, value] of Object.entries(global))
      file.create_attribute(name, value, [], `S${value.length}`);
    for (const [name, { shape, data, attributes: own = {}, dtype = '<d' }] of Object.entries(variables)) {
      const typed =
        dtype === '<d'
          ? Float64Array.from(data)
          : dtype === '<f'
            ? Float32Array.from(data)
            : Int32Array.from(data);
      const variable = file.create_dataset({ name, data: typed, shape, dtype });
      for (const [attribute, value] of Object.entries(own))
        variable.create_attribute(attribute, value, [], `S${value.length}`);
    }
  });
}

const SPHERICAL = { Type: 'spherical', Units: 'degree, degree, metre' };
const CARTESIAN = { Type: 'cartesian', Units: 'metre' };
const FREQUENCIES = [100, 1000];

/** An invented source without any symmetry, so that no turned or mirrored reading goes unnoticed. */
const pressure = ([x, y, z]: Vector, hz: number) => 1 + 0.5 * x + 0.25 * y + 0.125 * z * (hz / 1000);
const sphere: Vector[] = [];
for (let elevation = -90; elevation <= 90; elevation += 10) {
  for (let azimuth = 0; azimuth < (Math.abs(elevation) === 90 ? 10 : 360); azimuth += 10) {
    sphere.push(fromSpherical(azimuth, elevation, 1));
  }
}
const real = (directions: readonly Vector[]) =>
  directions.flatMap((direction) => FREQUENCIES.map((hz) => pressure(direction, hz)));
const tf = (shape: number[], data: number[]): Record<string, Numbers> => ({
  'Data.Real': { shape, data },
  'Data.Imag': { shape, data: data.map(() => 0) },
  N: { shape: [FREQUENCIES.length], data: FREQUENCIES, attributes: { Units: 'hertz' } },
});
const origin: Numbers = { shape: [1, 3], data: [0, 0, 0], attributes: CARTESIAN };

function expectPattern(
  angles: readonly AngleResponse[],
  orbits: readonly Orbit[] = ['horizontal', 'vertical'],
  digits = 9,
): void {
  expect(angles).toHaveLength(36 * orbits.length);
  for (const { orbit, angleDeg, frequencyHz, levelDb } of angles) {
    frequencyHz.forEach((hz, at) => {
      expect(levelDb[at]).toBeCloseTo(20 * Math.log10(pressure(orbitDirection(orbit, angleDeg), hz)), digits);
    });
  }
}

describe('wherever the measured directions are kept', () => {
  const R = sphere.length;
  const degrees = (v: Vector) => [
    (Math.atan2(v[1], v[0]) * 180) / Math.PI,
    (Math.asin(v[2]) * 180) / Math.PI,
    1,
  ];

  it.each<[string, () => Record<string, Numbers>, Record<string, string>]>([
    [
      'ReceiverPosition, spherical',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        ReceiverPosition: { shape: [R, 3, 1], data: sphere.flatMap(degrees), attributes: SPHERICAL },
        SourcePosition: origin,
        ListenerPosition: origin,
      }),
      {},
    ],
    [
      'ReceiverPosition, spherical without a radius',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        ReceiverPosition: {
          shape: [R, 3],
          data: sphere.flatMap((v) => [...degrees(v).slice(0, 2), 0]),
          attributes: SPHERICAL,
        },
      }),
      {},
    ],
    [
      'ReceiverPosition, cartesian, listener and source elsewhere',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        ReceiverPosition: {
          shape: [R, 3, 1],
          data: sphere.flatMap((v) => v.map((value) => 2 * value)),
          attributes: CARTESIAN,
        },
        SourcePosition: { ...origin, data: [3, 4, 1] },
        ListenerPosition: { ...origin, data: [3, 4, 1] },
      }),
      {},
    ],
    [
      'ReceiverPosition, with a source that faces +y',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        // Ahead is y, left is -x: (a, l, u) -> (-l, a, u).
        ReceiverPosition: {
          shape: [R, 3, 1],
          data: sphere.flatMap(([a, l, u]) => [-l, a, u]),
          attributes: CARTESIAN,
        },
        SourceView: { shape: [1, 3], data: [0, 1, 0], attributes: CARTESIAN },
        SourceUp: { shape: [1, 3], data: [0, 0, 1] },
      }),
      {},
    ],
    [
      'ReceiverPosition, within a listener that looks at the source',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        ReceiverPosition: {
          shape: [R, 3, 1],
          data: sphere.flatMap(([a, l, u]) => [-a, -l, u]),
          attributes: CARTESIAN,
        },
        ListenerView: { shape: [1, 3], data: [-1, 0, 0], attributes: CARTESIAN },
        ListenerUp: { shape: [1, 3], data: [0, 0, 1] },
      }),
      {},
    ],
    [
      'ListenerPosition, one measurement each',
      () => ({
        ...tf([R, 1, 2], real(sphere)),
        ListenerPosition: { shape: [R, 3], data: sphere.flatMap(degrees), attributes: SPHERICAL },
        ReceiverPosition: { shape: [1, 3, 1], data: [0, 0, 0], attributes: CARTESIAN },
      }),
      { SOFAConventions: 'GeneralTF' },
    ],
    [
      'ReceiverPosition that changes with the measurement',
      () => ({
        ...tf([R, 1, 2], real(sphere)),
        ReceiverPosition: {
          shape: [1, 3, R],
          data: [0, 1, 2].flatMap((axis) => sphere.map((v) => v[axis])),
          attributes: CARTESIAN,
        },
      }),
      { SOFAConventions: 'GeneralTF' },
    ],
    [
      'EmitterPosition, one emitter each',
      () => ({
        ...tf(
          [1, 1, 2, R],
          FREQUENCIES.flatMap((hz) => sphere.map((v) => pressure(v, hz))),
        ),
        EmitterPosition: { shape: [R, 3, 1], data: sphere.flatMap(degrees), attributes: SPHERICAL },
        ReceiverPosition: { shape: [1, 3, 1], data: [0, 0, 0], attributes: CARTESIAN },
      }),
      { SOFAConventions: 'GeneralTF-E', DataType: 'TF-E' },
    ],
    [
      'ReceiverPosition, single precision',
      () => ({
        ...tf([1, R, 2], real(sphere)),
        ReceiverPosition: {
          shape: [R, 3, 1],
          data: sphere.flatMap(degrees),
          attributes: SPHERICAL,
          dtype: '<f',
        },
      }),
      {},
    ],
  ])('%s', async (what, variables, attributes) => {
    const reading = await read(await makeSofa(variables(), attributes));
    expect(reading.problems).toBeUndefined();
    expectPattern(reading.angles!);
    const codes = reading.quality!.map(({ code }) => code);
    expect(codes).toStrictEqual(
      what.startsWith('Emitter') ? ['relative-levels', 'directions-from-emitters'] : ['relative-levels'],
    );
  });

  it('SourceView: a loudspeaker on a turntable gives the horizontal orbit alone', async () => {
    const turns = Array.from({ length: 36 }, (_, at) => at * 10);
    // Turned left by t, the loudspeaker shows the microphone its right side: direction -t.
    const seen = turns.map((turn) => fromSpherical(-turn, 0, 1));
    const bytes = await makeSofa(
      {
        ...tf([36, 1, 2], real(seen)),
        ListenerPosition: { shape: [1, 3], data: [2, 0, 0], attributes: CARTESIAN },
        ReceiverPosition: { shape: [1, 3, 1], data: [0, 0, 0], attributes: CARTESIAN },
        SourceView: { shape: [36, 3], data: turns.flatMap((turn) => [turn, 0, 1]), attributes: SPHERICAL },
        SourceUp: { shape: [1, 3], data: [0, 90, 1] },
      },
      { SOFAConventions: 'GeneralTF' },
    );
    const { angles } = await read(bytes);
    // Straight ahead and behind belong to both orbits.
    const vertical = angles!.filter(({ orbit }) => orbit === 'vertical');
    expect(vertical.map(({ angleDeg }) => angleDeg)).toStrictEqual([0, 180]);
    expectPattern(
      angles!.filter(({ orbit }) => orbit === 'horizontal'),
      ['horizontal'],
    );
  });
});

describe('impulse responses', () => {
  const length = 64;
  const impulse = (direction: Vector) =>
    Array.from({ length }, (_, at) => (at === 5 ? pressure(direction, 0) : 0));
  const fir = (directions: readonly Vector[], extra: Record<string, Numbers> = {}) =>
    makeSofa(
      {
        'Data.IR': { shape: [1, directions.length, length], data: directions.flatMap(impulse) },
        'Data.SamplingRate': { shape: [1], data: [48_000], attributes: { Units: 'hertz' } },
        'Data.Delay': { shape: [1, directions.length], data: directions.map(() => 0) },
        ReceiverPosition: {
          shape: [directions.length, 3, 1],
          data: directions.flatMap((v) => [...v]),
          attributes: CARTESIAN,
        },
        ...extra,
      },
      { SOFAConventions: 'FreeFieldDirectivityFIR', DataType: 'FIR' },
    );

  it('stay impulse responses', async () => {
    const { impulses, angles } = await read(await fir(sphere), { fullScaleDb: 94 });
    expect(angles).toStrictEqual([]);
    expect(impulses).toHaveLength(72);
    for (const { orbit, angleDeg, samples, sampleRateHz, fullScaleDb } of impulses!) {
      expect([sampleRateHz, fullScaleDb, samples.length]).toStrictEqual([48_000, 94, length]);
      expect(samples[5]).toBeCloseTo(pressure(orbitDirection(orbit, angleDeg), 0), 12);
    }
  });

  it('are interpolated as spectra where a direction is missing, which a flat pulse shows exactly', async () => {
    const coarse = sphere.filter((_, at) => at % 2 === 0);
    const { impulses, angles, quality } = await read(await fir(coarse));
    expect(impulses!.length + angles!.length).toBe(72);
    expect(angles!.length).toBeGreaterThan(10);
    for (const { orbit, angleDeg, levelDb, frequencyHz } of angles!) {
      expect(frequencyHz.every((hz, at) => at === 0 || hz > frequencyHz[at - 1])).toBe(true);
      // A single pulse has a flat spectrum. Straight lines between neighbours 10 degrees away miss p squared by up to
      // (0.175 rad)^2 / 2 of its second derivative (at most about 1.5 here): 0.2 dB where the source is weakest.
      for (const db of levelDb)
        expect(Math.abs(db - 20 * Math.log10(pressure(orbitDirection(orbit, angleDeg), 0)))).toBeLessThan(
          0.2,
        );
    }
    expect(quality!.some(({ code }) => code === 'interpolated-angle')).toBe(true);
  });

  it('refuses a silent direction and an impossible rate', async () => {
    const silent = await fir(sphere, {
      'Data.IR': { shape: [1, sphere.length, length], data: new Float64Array(sphere.length * length) },
    });
    expect((await read(silent)).problems![0].code).toBe('sofa-value');
    const rate = await fir(sphere, { 'Data.SamplingRate': { shape: [1], data: [0] } });
    expect((await read(rate)).problems![0].code).toBe('sofa-value');
  });
});

describe('directions that were not measured', () => {
  it('are interpolated in energy, named, and marked by how far the neighbours lie', async () => {
    const spiral = Array.from({ length: 1500 }, (_, at) => {
      const z = 1 - (2 * at + 1) / 1500;
      return fromSpherical(at * 137.50776, (Math.asin(z) * 180) / Math.PI, 1);
    });
    const bytes = await makeSofa({
      ...tf([1, 1500, 2], real(spiral)),
      ReceiverPosition: { shape: [1500, 3, 1], data: spiral.flatMap((v) => [...v]), attributes: CARTESIAN },
    });
    const { angles, quality } = await read(bytes);
    for (const { orbit, angleDeg, frequencyHz, levelDb, phaseDeg } of angles!) {
      frequencyHz.forEach((hz, at) => {
        expect(
          Math.abs(levelDb[at] - 20 * Math.log10(pressure(orbitDirection(orbit, angleDeg), hz))),
        ).toBeLessThan(0.2);
      });
      expect(phaseDeg === undefined || phaseDeg.length === 2).toBe(true);
    }
    const notes = quality!.filter(({ code }) => code === 'interpolated-angle');
    expect(notes.map(({ severity }) => severity)).toStrictEqual(['note', 'note']);
    expect(notes[0].message).toMatch(/horizontal orbit .*: -170, -160, /);
  });

  it('stay missing when nothing surrounds them', async () => {
    const ahead = sphere.filter(([x]) => x > 0.3);
    const bytes = await makeSofa({
      ...tf([1, ahead.length, 2], real(ahead)),
      ReceiverPosition: {
        shape: [ahead.length, 3, 1],
        data: ahead.flatMap((v) => [...v]),
        attributes: CARTESIAN,
      },
    });
    const { angles } = await read(bytes);
    expect(Math.max(...angles!.map(({ angleDeg }) => Math.abs(angleDeg)))).toBe(70);
  });

  it('are a problem when there are none at all', async () => {
    const bytes = await makeSofa({
      ...tf([1, 1, 2], [1, 1]),
      ReceiverPosition: { shape: [1, 3, 1], data: [90, 45, 1], attributes: SPHERICAL },
    });
    expect((await read(bytes)).problems![0].code).toBe('sofa-directions');
  });
});

describe('values', () => {
  const R = sphere.length;
  const receivers: Numbers = {
    shape: [R, 3, 1],
    data: sphere.flatMap((v) => v.map((value) => 2 * value)),
    attributes: CARTESIAN,
  };
  const withUnits = (units: string) => {
    const variables = tf([1, R, 2], real(sphere));
    return makeSofa({
      ...variables,
      'Data.Real': { ...variables['Data.Real'], attributes: { Units: units } },
      ReceiverPosition: receivers,
    });
  };

  it('in pascal become sound pressure levels at the stated distance', async () => {
    const reading = await read(await withUnits('pascal'));
    const ahead = reading.angles!.find(({ orbit, angleDeg }) => orbit === 'horizontal' && angleDeg === 0)!;
    // 1 Pa is 93.979 dB re 20 uPa (ISO 1683 reference value); the source above gives 1.5 Pa ahead.
    expect(ahead.levelDb[0]).toBeCloseTo(93.9794 + 20 * Math.log10(1.5), 4);
    expect(ahead.source.conditions).toStrictEqual({ distanceM: 2 });
    expect(reading.quality).toStrictEqual([]);
    const stated = await read(await withUnits('pascal'), { distanceStated: true });
    expect(stated.angles![0].source.conditions).toBeUndefined();
  });

  it('take the scale the manifest gives', async () => {
    const { angles, quality } = await read(await withUnits('volt'), { fullScaleDb: 100 });
    expect(angles![0].levelDb[0]).toBeCloseTo(100 + 20 * Math.log10(1.5), 9);
    expect(quality).toStrictEqual([]);
  });

  it('at 0 Hz and zeros at the ends are left out', async () => {
    const data = sphere.flatMap(() => [0, 1, 1, 0]);
    const bytes = await makeSofa({
      'Data.Real': { shape: [1, R, 4], data },
      'Data.Imag': { shape: [1, R, 4], data },
      N: { shape: [4], data: [0, 100, 200, 300] },
      ReceiverPosition: receivers,
    });
    const { angles, quality } = await read(bytes);
    expect([...angles![0].frequencyHz]).toStrictEqual([100, 200]);
    expect(quality!.map(({ code }) => code)).toContain('empty-frequencies');
  });

  it('repeat a direction: the first counts and the rest is mentioned', async () => {
    const bytes = await makeSofa({
      ...tf([2, R, 2], [...real(sphere), ...real(sphere).map((value) => 2 * value)]),
      ReceiverPosition: receivers,
    });
    const { angles, quality } = await read(bytes);
    expectPattern(angles!);
    expect(quality!.map(({ code }) => code)).toContain('repeated-direction');
  });
});

describe('a file that does not hold together is refused', () => {
  const R = sphere.length;
  const good = (): Record<string, Numbers> => ({
    ...tf([1, R, 2], real(sphere)),
    ReceiverPosition: { shape: [R, 3, 1], data: sphere.flatMap((v) => [...v]), attributes: CARTESIAN },
  });
  const without = (name: string) =>
    Object.fromEntries(Object.entries(good()).filter(([key]) => key !== name));

  it.each<[string, string, () => Record<string, Numbers>, Record<string, string>]>([
    ['no Data.Real', 'sofa-shape', () => without('Data.Real'), {}],
    ['no Data.Imag', 'sofa-shape', () => without('Data.Imag'), {}],
    ['no N', 'sofa-shape', () => without('N'), {}],
    ['no ReceiverPosition', 'sofa-shape', () => without('ReceiverPosition'), {}],
    [
      'imaginary part of another shape',
      'sofa-shape',
      () => ({ ...good(), 'Data.Imag': { shape: [1, R, 1], data: new Float64Array(R) } }),
      {},
    ],
    [
      'more frequencies than data',
      'sofa-shape',
      () => ({ ...good(), N: { shape: [3], data: [1, 2, 3] } }),
      {},
    ],
    [
      'fewer positions than receivers',
      'sofa-shape',
      () => ({ ...good(), ReceiverPosition: { shape: [2, 3, 1], data: [1, 0, 0, 0, 1, 0] } }),
      {},
    ],
    [
      'positions of two coordinates',
      'sofa-shape',
      () => ({ ...good(), ReceiverPosition: { shape: [R, 2, 1], data: new Float64Array(2 * R) } }),
      {},
    ],
    [
      'flat data',
      'sofa-shape',
      () => ({ ...good(), 'Data.Real': { shape: [R * 2], data: real(sphere) } }),
      {},
    ],
    ['falling frequencies', 'sofa-value', () => ({ ...good(), N: { shape: [2], data: [1000, 100] } }), {}],
    [
      'frequencies that are none',
      'sofa-value',
      () => ({ ...good(), N: { shape: [2], data: [100, NaN] } }),
      {},
    ],
    [
      'data that is none',
      'sofa-value',
      () => ({ ...good(), 'Data.Real': { shape: [1, R, 2], data: new Float64Array(2 * R).fill(NaN) } }),
      {},
    ],
    [
      'positions that are none',
      'sofa-value',
      () => ({
        ...good(),
        ReceiverPosition: { shape: [R, 3, 1], data: new Float64Array(3 * R).fill(Infinity) },
      }),
      {},
    ],
    [
      'a view along its own up',
      'sofa-directions',
      () => ({ ...good(), SourceView: { shape: [1, 3], data: [0, 0, 1], attributes: CARTESIAN } }),
      {},
    ],
    [
      'spherical harmonics',
      'sofa-directions',
      () => ({
        ...good(),
        ReceiverPosition: { ...good().ReceiverPosition, attributes: { Type: 'spherical harmonics' } },
      }),
      {},
    ],
    [
      'a moving source that faces nowhere',
      'sofa-directions',
      () => ({
        ...tf([2, 1, 2], [1, 1, 1, 1]),
        ReceiverPosition: { shape: [1, 3, 1], data: [0, 0, 0] },
        SourcePosition: { shape: [2, 3], data: [1, 0, 0, 0, 1, 0], attributes: CARTESIAN },
      }),
      { SOFAConventions: 'GeneralTF' },
    ],
    ['a head-related convention', 'sofa-convention', good, { SOFAConventions: 'SimpleFreeFieldHRTF' }],
    ['another data type', 'sofa-convention', good, { DataType: 'SOS' }],
    ['HDF5 that is not SOFA', 'not-sofa', good, { Conventions: 'CF' }],
  ])('%s: %s', async (_what, code, variables, attributes) => {
    const { problems, angles } = await read(await makeSofa(variables(), attributes));
    expect(problems!.map((found) => found.code)).toStrictEqual([code]);
    expect(angles).toBeUndefined();
  });

  it('too large, by its claimed shape', async () => {
    const bytes = await makeSofa(good());
    expect((await read(bytes, {}, { ...defaultLimits, sofaDirections: 10 })).problems![0].code).toBe(
      'file-too-large',
    );
    expect((await read(bytes, {}, { ...defaultLimits, sofaLength: 1 })).problems![0].code).toBe(
      'file-too-large',
    );
  });

  it('as another role than directivity', async () => {
    expect((await read(await makeSofa(good()), { content: 'impedance' })).problems![0].code).toBe(
      'kind-not-read',
    );
  });

  it('text, noise, cut files and flipped bytes never throw', async () => {
    const whole = await makeSofa(good());
    const random = lcg(1);
    const damaged: Uint8Array[] = [
      new TextEncoder().encode('not HDF5'),
      new Uint8Array(),
      Uint8Array.from({ length: 5000 }, () => random(256)),
    ];
    for (let at = 0; at < 40; at += 1) damaged.push(whole.subarray(0, random(whole.length)));
    for (let at = 0; at < 150; at += 1) {
      const copy = whole.slice();
      for (let flip = 0; flip < 4; flip += 1) copy[random(4000)] = random(256);
      damaged.push(copy);
    }
    for (const bytes of damaged) {
      const { problems, angles } = await read(bytes);
      expect((problems === undefined) !== (angles === undefined)).toBe(true);
    }
  });
});

/** A small generator, so that a failure can be repeated. */
function lcg(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return Math.floor((state / 2_147_483_648) * below);
  };
}

it('reads what an independent writer wrote (netCDF ncgen; fixtures/independent.cdl)', async () => {
  const { angles, quality } = await read(
    readFileSync(new URL('../fixtures/independent.sofa', import.meta.url)),
  );
  const level = (orbit: Orbit, angleDeg: number) =>
    angles!.find((angle) => angle.orbit === orbit && angle.angleDeg === angleDeg)!;
  const values: [Orbit, number, number][] = [
    ['horizontal', 0, 1],
    ['horizontal', 90, 0.5],
    ['horizontal', 180, 0.25],
    ['horizontal', -90, 2],
    ['vertical', 90, 0.1],
    ['vertical', -90, 4],
    ['vertical', 180, 0.25],
  ];
  expect(angles).toHaveLength(8);
  for (const [orbit, angle, value] of values)
    expect(level(orbit, angle).levelDb[0]).toBeCloseTo(20 * Math.log10(value), 12);
  expect(level('horizontal', 0).phaseDeg![1]).toBeCloseTo(90, 12);
  expect(quality!.map(({ code }) => code)).toStrictEqual(['relative-levels']);
});

describe('writing', () => {
  const frequencyHz = Float64Array.from({ length: 50 }, (_, at) => 20 * 2 ** (at / 5));
  const responses = (['horizontal', 'vertical'] as const).flatMap((orbit, o) =>
    Array.from({ length: 36 }, (_, at): AngleResponse => {
      const angleDeg = at * 10 - 170;
      const shared = angleDeg === 0 || angleDeg === 180;
      return {
        orbit,
        angleDeg,
        frequencyHz,
        levelDb: frequencyHz.map((hz) => 85 - Math.abs(angleDeg) / 20 - (shared ? 0 : o) + Math.sin(hz)),
        phaseDeg: frequencyHz.map((_, n) => ((n * 37 + at) % 360) - 179),
        source: { file: 'made', sha256: '' },
      };
    }),
  );
  const statement: SofaStatement = {
    title: 'Invented',
    createdAt: new Date(0),
    modifiedAt: new Date(86_400_000),
    authorContact: '',
    organization: 'R\u00e9union',
    license: 'CC0-1.0',
    databaseName: 'invented',
    sourceType: 'two-way loudspeaker',
    sourceManufacturer: 'Invented',
    referencePoint: 'on the baffle, between the drivers',
    applicationVersion: '0.1.0',
  };
  const folder = mkdtempSync(join(tmpdir(), 'sojourn-sofa-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  it('gives back the same levels, phases, angles and distance', async () => {
    const { angles, problems, quality } = await read(await writeSofa(responses, 2, statement));
    expect(problems).toBeUndefined();
    expect(quality).toStrictEqual([]);
    expect(angles).toHaveLength(72);
    for (const angle of angles!) {
      const original = responses.find(
        ({ orbit, angleDeg }) => orbit === angle.orbit && angleDeg === angle.angleDeg,
      )!;
      angle.levelDb.forEach((db, at) => expect(db).toBeCloseTo(original.levelDb[at], 9));
      // The shared directions are written once, from the horizontal orbit.
      const written =
        Math.abs(angle.angleDeg % 180) === 0
          ? responses.find(({ orbit, angleDeg }) => orbit === 'horizontal' && angleDeg === angle.angleDeg)!
          : original;
      angle.phaseDeg!.forEach((deg, at) =>
        expect(Math.cos(((deg - written.phaseDeg![at]) * Math.PI) / 180)).toBeCloseTo(1, 9),
      );
      expect(angle.source.conditions).toStrictEqual({ distanceM: 2 });
    }
  });

  it('refuses responses that do not share their frequencies, and none', async () => {
    const other = { ...responses[0], frequencyHz: frequencyHz.map((hz) => hz + 1) };
    await expect(writeSofa([...responses, { ...other, angleDeg: 5 }], 1, statement)).rejects.toThrow(
      RangeError,
    );
    await expect(writeSofa([], 1, statement)).rejects.toThrow(RangeError);
  });

  const hasNcdump = spawnSync('ncdump').error === undefined;
  if (!hasNcdump && process.env.CI === undefined)
    console.warn(
      'SKIPPED: ncdump (netcdf-bin) is not installed, so SOFA was not read by an independent reader.',
    );

  it.skipIf(!hasNcdump && process.env.CI === undefined)(
    'is read by an independent reader (netCDF ncdump)',
    async () => {
      const path = join(folder, 'written.sofa');
      writeFileSync(
        path,
        await writeSofa(
          responses.map((response) => ({ ...response, phaseDeg: undefined })),
          1.5,
          statement,
        ),
      );
      const header = execFileSync('ncdump', ['-h', path], { encoding: 'utf8' });
      expect(execFileSync('ncdump', ['-k', path], { encoding: 'utf8' }).trim()).toBe('netCDF-4');
      for (const line of [
        'M = 1 ;',
        'R = 70 ;',
        'N = 50 ;',
        'double Data.Real(M, R, N) ;',
        'double ReceiverPosition(R, C, I) ;',
        'ReceiverPosition:Units = "degree, degree, metre" ;',
        'N:LongName = "frequency" ;',
        'N:Units = "hertz" ;',
        ':SOFAConventions = "FreeFieldDirectivityTF" ;',
        ':SOFAConventionsVersion = "1.1" ;',
        ':DateModified = "1970-01-02 00:00:00" ;',
        ':Organization = "R\u00e9union" ;',
        ':Comment = "70 of 70 responses have no phase: their values are magnitudes." ;',
      ])
        expect(header).toContain(line);
      // char text, not netCDF strings, which older readers do not know.
      expect(header).not.toContain('string ');
      const receivers = execFileSync('ncdump', ['-v', 'ReceiverPosition', path], { encoding: 'utf8' });
      const numbers = receivers
        .slice(receivers.lastIndexOf('ReceiverPosition ='))
        .match(/-?\d+(\.\d+)?/g)!
        .map(Number);
      const directions = Array.from({ length: 70 }, (_, at) =>
        unit(fromSpherical(numbers[3 * at], numbers[3 * at + 1], numbers[3 * at + 2]))!,
      );
      expect(numbers).toHaveLength(210);
      for (const { orbit, angleDeg } of responses) {
        const wanted = orbitDirection(orbit, angleDeg);
        expect(
          Math.max(...directions.map((d) => d[0] * wanted[0] + d[1] * wanted[1] + d[2] * wanted[2])),
        ).toBeCloseTo(1, 12);
      }
    },
  );
});
