import { describe, expect, it } from 'vitest';
import { cellEdgesHz } from './cellEdgesHz.js';
import { cellPower } from './cellPower.js';

/** A spectrum of 512 bins with the given |X|^2. */
function spectrumOf(power: (bin: number) => number): Float32Array {
  const spectrum = new Float32Array(1024);
  for (let k = 0; k < 512; k++) {
    const size = Math.sqrt(power(k));
    spectrum[2 * k] = size * Math.cos(k);
    spectrum[2 * k + 1] = size * Math.sin(k);
  }
  return spectrum;
}

/** The integral of the broken line by ten thousand strips. */
function slowMean(power: (bin: number) => number, from: number, to: number): number {
  let sum = 0;
  for (let i = 0; i < 10_000; i++) {
    const at = from + ((i + 0.5) / 10_000) * (to - from);
    const bin = Math.floor(at);
    sum += power(bin) + (at - bin) * (power(bin + 1) - power(bin));
  }
  return sum / 10_000;
}

describe('cellPower', () => {
  const wild = (bin: number): number => 2 + Math.sin(bin * bin) + bin / 100;
  const edges = Float64Array.of(3.2, 3.3, 3.9, 4, 4.5, 7, 7.01, 9.99, 40.5, 41, 300.25);

  it('is the mean of the broken line between bins, for cells narrower and wider than a bin', () => {
    cellPower(spectrumOf(wild), edges).forEach((mean, i) => {
      expect(mean / slowMean(wild, edges[i], edges[i + 1])).toBeCloseTo(1, 3);
    });
  });

  it('keeps a constant, and the whole when cells are joined', () => {
    for (const mean of cellPower(
      spectrumOf(() => 7),
      edges,
    ))
      expect(mean).toBeCloseTo(7, 4);
    const parts = cellPower(spectrumOf(wild), edges);
    const [whole] = cellPower(spectrumOf(wild), Float64Array.of(edges[0], edges[edges.length - 1]));
    const joined = parts.reduce((sum, mean, i) => sum + mean * (edges[i + 1] - edges[i]), 0);
    expect(joined / (whole * (edges[edges.length - 1] - edges[0]))).toBeCloseTo(1, 5);
  });

  it('gives nothing for no cell', () => {
    expect(cellPower(spectrumOf(wild), Float64Array.of(3))).toHaveLength(0);
  });
});

describe('cellEdgesHz', () => {
  it('lies halfway between neighbours on a logarithmic axis', () => {
    const edges = cellEdgesHz(Float64Array.of(100, 200, 400));
    expect([...edges].map((hz) => hz / Math.SQRT2)).toEqual(
      [50, 100, 200, 400].map((hz) => expect.closeTo(hz, 9)),
    );
  });
});
