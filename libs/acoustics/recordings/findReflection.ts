import type { ImpulseExtent } from './scanImpulse.js';

/** Before this the edges of the cabinet itself send their echoes (0.8 m of path takes 2.4 ms); floors come later. */
const EARLIEST_MS = 2.5;
const LATEST_MS = 50;
const BLOCK_MS = 0.25;
/** Far edges of a tall cabinet echo too, but weaker; an echo this far down shakes the curve by 0.7 dB [derived]. */
const WITHIN_DIRECT = 10 ** (-22 / 10);
/** It must stand this far above the quietest moment since the direct sound: decays only fall. */
const RISE = 10 ** (12 / 10);
const HIGH_PASS_HZ = 1000;

/**
 * When the first echo of the room arrives, if one stands out.
 *
 * Short-time energy above about 1 kHz is watched from 2.5 to 50 ms after the direct sound: what rises 12 dB
 * above the quietest moment since, and comes within 22 dB of the direct sound, is an echo and no decay.
 * (Thresholds: common practice, no source.)
 *
 * @returns seconds from the arrival to the echo's first quarter of a millisecond; undefined when none is found
 */
export function findReflection(
  samples: Float32Array | Float64Array,
  extent: ImpulseExtent,
): number | undefined {
  const block = Math.max(1, Math.round((extent.sampleRateHz * BLOCK_MS) / 1000));
  const energies = highPassedEnergies(samples, extent, block);
  const earliest = Math.ceil(EARLIEST_MS / BLOCK_MS);
  let direct = 0;
  let quietest = Infinity;
  for (let b = 1; b < energies.length; b++) {
    if (b <= earliest) direct = Math.max(direct, energies[b - 1]);
    const isEcho = energies[b] > RISE * quietest && energies[b] > WITHIN_DIRECT * direct;
    if (b >= earliest && isEcho) return (b * block) / extent.sampleRateHz;
    // Two blocks at a time: a single one may fall where two decaying tones cancel.
    quietest = Math.min(quietest, Math.max(energies[b], energies[b - 1]));
  }
  return undefined;
}

function highPassedEnergies(
  samples: Float32Array | Float64Array,
  extent: ImpulseExtent,
  block: number,
): Float64Array {
  const { arrivalIndex, sampleRateHz } = extent;
  const wanted = Math.round(LATEST_MS / BLOCK_MS);
  const blocks = Math.max(0, Math.min(wanted, Math.floor((samples.length - arrivalIndex) / block)));
  const smoothing = 1 - Math.exp((-2 * Math.PI * HIGH_PASS_HZ) / sampleRateHz);
  const energies = new Float64Array(blocks);
  let low = 0;
  for (let b = 0, i = arrivalIndex; b < blocks; b++) {
    for (const end = i + block; i < end; i++) {
      low += smoothing * (samples[i] - low);
      energies[b] += (samples[i] - low) ** 2;
    }
  }
  return energies;
}
