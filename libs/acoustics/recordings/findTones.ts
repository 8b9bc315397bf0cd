import type { PowerSpectrum } from './multitoneSpectrum.js';

/** Where the stated tones stand in a spectrum. */
export interface FoundTones {
  /** Bin of each stated tone that stands out, rising. */
  readonly bins: readonly number[];
  /** Stated frequencies that do not. */
  readonly missingHz: readonly number[];
  /** Played over stated frequency, as the recorder counts; 1 when the clocks agree. */
  readonly clockRatio: number;
}

/** Clocks, and generators that round a frequency to their own grid, stay within this. */
const WIDEST_DRIFT = 1e-3;
const SEARCH_BINS = 3;
/** A tone stands this far above the quieter half of its neighbourhood (12 dB). */
const ABOVE_NEIGHBOURS = 16;
const NEIGHBOURHOOD_BINS = 40;

/**
 * Finds each stated tone near its stated frequency.
 *
 * @param frequenciesHz in any order; those above the spectrum are left out without a word
 */
export function findTones(spectrum: PowerSpectrum, frequenciesHz: readonly number[]): FoundTones {
  const { power, binHz } = spectrum;
  const stated = frequenciesHz.filter((hz) => hz > 0 && hz / binHz < power.length - 1).sort((a, b) => a - b);
  const bins: number[] = [];
  const missingHz: number[] = [];
  const ratios: { ratio: number; hz: number }[] = [];
  stated.forEach((hz, i) => {
    const gap = Math.min(hz - (stated[i - 1] ?? 0), (stated[i + 1] ?? Infinity) - hz) / binHz;
    const search = Math.min(SEARCH_BINS + (WIDEST_DRIFT * hz) / binHz, gap / 2);
    const bin = loudestBin(power, hz / binHz, search);
    if (power[bin] < ABOVE_NEIGHBOURS * quietNeighbours(power, bin)) {
      missingHz.push(hz);
      return;
    }
    bins.push(bin);
    ratios.push({ ratio: (binHz * peakPosition(power, bin)) / hz, hz });
  });
  return { bins, missingHz, clockRatio: commonRatio(ratios) };
}

function loudestBin(power: Float64Array, position: number, search: number): number {
  let best = Math.max(1, Math.round(position));
  const last = Math.min(power.length - 2, Math.ceil(position + search));
  for (let bin = Math.max(1, Math.floor(position - search)); bin <= last; bin++)
    if (power[bin] > power[best]) best = bin;
  return best;
}

/** The median power around a bin, its own lobe left out. */
function quietNeighbours(power: Float64Array, bin: number): number {
  const around: number[] = [];
  for (let offset = 6; offset < NEIGHBOURHOOD_BINS; offset++)
    for (const at of [bin - offset, bin + offset]) if (at > 0 && at < power.length) around.push(power[at]);
  around.sort((a, b) => a - b);
  return around[around.length >> 1] ?? 0;
}

/** The vertex of a parabola through the logarithms of the three bins at a peak. */
function peakPosition(power: Float64Array, bin: number): number {
  const [below, here, above] = [bin - 1, bin, bin + 1].map((at) => Math.log(power[at] + Number.MIN_VALUE));
  const curvature = below - 2 * here + above;
  return curvature < 0 ? bin + (0.5 * (below - above)) / curvature : bin;
}

/** The median over the upper half of the tones: a bin is a smaller part of a high frequency. */
function commonRatio(ratios: readonly { ratio: number; hz: number }[]): number {
  const upper = ratios.slice(ratios.length >> 1).map(({ ratio }) => ratio);
  upper.sort((a, b) => a - b);
  return upper[upper.length >> 1] ?? 1;
}
