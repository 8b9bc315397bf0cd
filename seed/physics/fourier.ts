import type { Spectrum } from './complex.js';

/**
 * In-place radix-2 Fourier transform of a power-of-two length; `sign` -1 forward, +1 back (not scaled).
 *
 * Kept apart from the analysis on purpose: data made with the transform that later reads them would hide its
 * faults.
 */
export function transformInPlace(data: Spectrum, sign: -1 | 1): void {
  const { re, im } = data;
  const size = re.length;
  reverseBits(re, im);
  const twiddles = twiddleTable(size, sign);
  for (let span = 1; span < size; span *= 2) {
    const stride = size / (2 * span);
    for (let start = 0; start < size; start += 2 * span) {
      for (let offset = 0, step = 0; offset < span; offset++, step += stride) {
        const upper = start + offset;
        const lower = upper + span;
        const turnRe = twiddles.re[step];
        const turnIm = twiddles.im[step];
        const partRe = re[lower] * turnRe - im[lower] * turnIm;
        const partIm = re[lower] * turnIm + im[lower] * turnRe;
        re[lower] = re[upper] - partRe;
        im[lower] = im[upper] - partIm;
        re[upper] += partRe;
        im[upper] += partIm;
      }
    }
  }
}

function reverseBits(re: Float64Array, im: Float64Array): void {
  const size = re.length;
  for (let index = 1, mirror = 0; index < size; index++) {
    let bit = size >> 1;
    for (; mirror & bit; bit >>= 1) mirror ^= bit;
    mirror ^= bit;
    if (index >= mirror) continue;
    [re[index], re[mirror]] = [re[mirror], re[index]];
    [im[index], im[mirror]] = [im[mirror], im[index]];
  }
}

const tables = new Map<number, Spectrum>();

function twiddleTable(size: number, sign: -1 | 1): Spectrum {
  const known = tables.get(sign * size);
  if (known) return known;
  const table = { re: new Float64Array(size / 2), im: new Float64Array(size / 2) };
  for (let index = 0; index < size / 2; index++) {
    table.re[index] = Math.cos((2 * Math.PI * index) / size);
    table.im[index] = sign * Math.sin((2 * Math.PI * index) / size);
  }
  tables.set(sign * size, table);
  return table;
}

/** Spectrum of a real signal, padded with zeros to the power of two `size`. */
export function spectrumOf(signal: ArrayLike<number>, size: number): Spectrum {
  const data = { re: new Float64Array(size), im: new Float64Array(size) };
  data.re.set(signal);
  transformInPlace(data, -1);
  return data;
}

/** The real signal whose bins 0..size/2 are given; the upper half is taken as their mirror. */
export function signalOf(half: Spectrum, size: number): Float64Array {
  const data = { re: new Float64Array(size), im: new Float64Array(size) };
  for (let bin = 0; bin <= size / 2; bin++) {
    const edge = bin === 0 || bin === size / 2;
    data.re[bin] = half.re[bin] / size;
    data.im[bin] = edge ? 0 : half.im[bin] / size;
    if (edge) continue;
    data.re[size - bin] = half.re[bin] / size;
    data.im[size - bin] = -half.im[bin] / size;
  }
  transformInPlace(data, 1);
  return data.re;
}
