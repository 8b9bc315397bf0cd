import { segmentEnergies } from '../fourier/segmentEnergies.js';

/** Where an impulse response stands in its file, in samples. */
export interface ImpulseExtent {
  readonly sampleRateHz: number;
  readonly length: number;
  readonly peak: number;
  readonly peakIndex: number;
  /** Where the direct sound begins: the first sample within 20 dB of the peak, at most 2 ms ahead of it. */
  readonly arrivalIndex: number;
  /** First and last sample (exclusive) in which the response stands out of the noise around it. */
  readonly startIndex: number;
  readonly endIndex: number;
  /** The quietest sixteenth of the file, end exclusive, and its mean square. */
  readonly quietest: { readonly start: number; readonly end: number };
  readonly noisePower: number;
}

const BLOCK_MS = 1;
const ARRIVAL_SEARCH_MS = 2;
const ARRIVAL_SHARE = 0.1;
/** A block belongs to the response when it holds four times (6 dB) the noise, */
const ABOVE_NOISE = 4;
/** and more than this share of the loudest block (-140 dB, what 32-bit floats can tell). */
const ABOVE_ROUNDING = 1e-14;
/** Quiet blocks that end the response: few ahead of it, more behind it, where low notes swing through zero. */
const QUIET_BEFORE_MS = 4;
const QUIET_AFTER_MS = 50;

/**
 * Finds the direct sound, the extent and the noise of an impulse response.
 *
 * @param samples any scale; at least 64
 * @returns undefined when every sample is zero or one is not a number
 */
export function scanImpulse(
  samples: Float32Array | Float64Array,
  sampleRateHz: number,
): ImpulseExtent | undefined {
  const block = Math.max(1, Math.round((sampleRateHz * BLOCK_MS) / 1000));
  const energies = blockEnergies(samples, block);
  const quiet = quietestStretch(energies);
  const loudest = largest(energies);
  if (!(loudest > 0) || !Number.isFinite(loudest)) return undefined;

  const peakIndex = peakAround(samples, energies.indexOf(loudest), block);
  const floor = Math.max(ABOVE_NOISE * quiet.mean, ABOVE_ROUNDING * loudest);
  const peakBlock = Math.floor(peakIndex / block);
  const first = reach(energies, peakBlock, -1, floor, QUIET_BEFORE_MS / BLOCK_MS);
  const last = reach(energies, peakBlock, 1, floor, QUIET_AFTER_MS / BLOCK_MS);
  return {
    sampleRateHz,
    length: samples.length,
    peak: Math.abs(samples[peakIndex]),
    peakIndex,
    arrivalIndex: arrivalBefore(samples, peakIndex, Math.round((sampleRateHz * ARRIVAL_SEARCH_MS) / 1000)),
    startIndex: first * block,
    endIndex: Math.min(samples.length, (last + 1) * block),
    quietest: { start: quiet.first * block, end: (quiet.first + quiet.blocks) * block },
    noisePower: quiet.mean / block,
  };
}

function blockEnergies(samples: Float32Array | Float64Array, block: number): Float64Array {
  const bounds = new Int32Array(Math.max(1, Math.floor(samples.length / block)) + 1);
  for (let b = 1; b < bounds.length; b++) bounds[b] = Math.min(b * block, samples.length);
  return segmentEnergies(samples, bounds);
}

function largest(values: Float64Array): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) if (!(values[i] <= most)) most = values[i];
  return most;
}

/** The quietest of sixteen stretches of blocks: each is long enough to be steady. */
function quietestStretch(energies: Float64Array): { first: number; blocks: number; mean: number } {
  const blocks = Math.max(1, Math.floor(energies.length / 16));
  let quietest = { first: 0, blocks, mean: Infinity };
  for (let first = 0; first + blocks <= energies.length; first += blocks) {
    let sum = 0;
    for (let b = first; b < first + blocks; b++) sum += energies[b];
    if (sum / blocks < quietest.mean) quietest = { first, blocks, mean: sum / blocks };
  }
  return quietest;
}

/** The peak lies in the loudest block or beside it, when the response straddles two. */
function peakAround(samples: Float32Array | Float64Array, loudestBlock: number, block: number): number {
  let peakIndex = loudestBlock * block;
  const end = Math.min(samples.length, (loudestBlock + 2) * block);
  for (let i = Math.max(0, (loudestBlock - 1) * block); i < end; i++)
    if (Math.abs(samples[i]) > Math.abs(samples[peakIndex])) peakIndex = i;
  return peakIndex;
}

function arrivalBefore(samples: Float32Array | Float64Array, peakIndex: number, search: number): number {
  const threshold = ARRIVAL_SHARE * Math.abs(samples[peakIndex]);
  let index = Math.max(0, peakIndex - search);
  while (Math.abs(samples[index]) < threshold) index++;
  return index;
}

/** The furthest block, going one way from the peak, before `quiet` blocks in a row stay under the floor. */
function reach(energies: Float64Array, from: number, step: 1 | -1, floor: number, quiet: number): number {
  let furthest = Math.min(from, energies.length - 1);
  for (let b = furthest; b >= 0 && b < energies.length && Math.abs(b - furthest) <= quiet; b += step)
    if (energies[b] > floor) furthest = b;
  return furthest;
}
