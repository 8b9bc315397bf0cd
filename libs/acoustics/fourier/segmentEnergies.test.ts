import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import wabt from 'wabt';
import { SEGMENT_ENERGIES_CODE, segmentEnergies } from './segmentEnergies.js';

describe('segmentEnergies', () => {
  const samples = Float32Array.from({ length: 1000 }, (_, i) => Math.sin(i * i) + 0.1);
  const slow = (from: number, to: number): number =>
    samples.subarray(from, to).reduce((sum, x) => sum + x * x, 0);

  it('sums the squares of each stretch, of any length and start, empty ones too', () => {
    const bounds = Int32Array.of(3, 3, 4, 9, 25, 26, 90, 91, 1000);
    const sums = segmentEnergies(samples, bounds);
    expect(sums).toHaveLength(8);
    sums.forEach((sum, i) => expect(sum).toBeCloseTo(slow(bounds[i], bounds[i + 1]), 3));
    expect(sums[0]).toBe(0);
  });

  it('takes 64-bit samples, many of them, and no stretch at all', () => {
    const long = new Float64Array(3_000_000).fill(0.5);
    const sums = segmentEnergies(long, Int32Array.of(0, 1_000_000, 3_000_000));
    expect(sums[0] / 250_000).toBeCloseTo(1, 5);
    expect(sums[1] / 500_000).toBeCloseTo(1, 5);
    expect(segmentEnergies(samples, Int32Array.of(5))).toHaveLength(0);
    expect(segmentEnergies(samples, new Int32Array(0))).toHaveLength(0);
  });

  it('runs the code of its source', async () => {
    const source = readFileSync(new URL('segmentEnergies.wat', import.meta.url), 'utf8');
    const { buffer } = (await wabt()).parseWat('segmentEnergies.wat', source, { simd: true }).toBinary({});
    expect(Buffer.from(buffer).toString('base64')).toBe(SEGMENT_ENERGIES_CODE);
  });
});
