import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { BiquadFilter } from '../analysis.js';
import { biquadOf } from './biquadOf.js';
import { biquadResponseDb } from './biquadResponseDb.js';
import { equaliserCsv } from './equaliserCsv.js';

interface Case extends Omit<BiquadFilter, 'b' | 'a'> {
  readonly sampleRateHz: number;
  readonly b: readonly number[];
  readonly a: readonly number[];
  readonly atHz: readonly number[];
  readonly responseDb: readonly number[];
}

/** Made by scipy from the analogue prototypes: test/fixtures/scipy/biquads.py. */
const cases = JSON.parse(
  readFileSync(new URL('../../../test/fixtures/scipy/biquads.json', import.meta.url), 'utf8'),
) as readonly Case[];

describe('the filters of the RBJ Audio EQ Cookbook (W3C Note, 8 June 2021)', () => {
  it('has a reference for every type', () => {
    expect(new Set(cases.map(({ type }) => type)).size).toBe(3);
    expect(cases).toHaveLength(36);
  });

  it.each(cases)('$type at $frequencyHz Hz, $gainDb dB, Q $q, $sampleRateHz Hz', (one) => {
    const filter = biquadOf(one.type, one.frequencyHz, one.gainDb, one.q, one.sampleRateHz);
    [...filter.b, ...filter.a].forEach((value, at) =>
      expect(Math.abs(value - [...one.b, ...one.a][at])).toBeLessThan(1e-11),
    );
    const response = biquadResponseDb([filter], one.atHz, one.sampleRateHz);
    response.forEach((db, at) => expect(Math.abs(db - one.responseDb[at])).toBeLessThan(1e-6));
  });

  it('reaches its gain where it says', () => {
    const at = (type: BiquadFilter['type'], hz: number): number =>
      biquadResponseDb([biquadOf(type, 1000, 6, 0.7, 48_000)], [hz], 48_000)[0];
    expect(at('peaking', 1000)).toBeCloseTo(6, 9);
    expect(at('peaking', 0)).toBeCloseTo(0, 9);
    expect(at('low-shelf', 0)).toBeCloseTo(6, 9);
    expect(at('low-shelf', 1000)).toBeCloseTo(3, 9);
    expect(at('low-shelf', 24_000)).toBeCloseTo(0, 9);
    expect(at('high-shelf', 24_000)).toBeCloseTo(6, 9);
    expect(at('high-shelf', 30_000)).toBeCloseTo(6, 9);
    expect(at('high-shelf', 1000)).toBeCloseTo(3, 9);
  });

  it('refuses what no filter can be', () => {
    expect(() => biquadOf('peaking', 24_000, 3, 1, 48_000)).toThrow(/half the sample rate of 48000 Hz/);
    expect(() => biquadOf('low-shelf', 100, 3, 0, 48_000)).toThrow(/Q must be above 0/);
    expect(() => biquadOf('high-shelf', 100, NaN, 1, 48_000)).toThrow(/gain must be a number/);
  });
});

describe('equaliserCsv', () => {
  it('writes RFC 4180 lines that read back to the same numbers', () => {
    const filters = [biquadOf('peaking', 1234, -2.5, 1.3, 48_000), biquadOf('low-shelf', 80, 1, 0.6, 48_000)];
    const lines = equaliserCsv({ filters, sampleRateHz: 48_000 }).split('\r\n');
    expect(lines[0]).toBe('type,frequency_hz,gain_db,q,b0,b1,b2,a0,a1,a2,sample_rate_hz');
    expect(lines).toHaveLength(4);
    expect(lines[3]).toBe('');
    filters.forEach(({ type, frequencyHz, gainDb, q, b, a }, at) => {
      const [first, ...numbers] = lines[at + 1].split(',');
      expect(first).toBe(type);
      expect(numbers.map(Number)).toEqual([frequencyHz, gainDb, q, ...b, ...a, 48_000]);
    });
  });
});
