const BLOCK_SECONDS = 0.1;
/** A block belongs to the stimulus when it comes within 20 dB of the louder ones; */
const ACTIVE_SHARE = 0.01;
/** so short a pause within it is two tones beating. */
const PAUSE_BLOCKS = 5;
/** Blocks left out at either end, for what the loudspeaker and the room need to settle. */
const SETTLING_BLOCKS = 2;

/**
 * The longest stretch of a recording in which a steady stimulus sounds, without the silence around it.
 *
 * @returns sample indices, end exclusive; equal when nothing sounds
 */
export function steadyPart(samples: ArrayLike<number>, sampleRateHz: number): { start: number; end: number } {
  const block = Math.max(1, Math.round(BLOCK_SECONDS * sampleRateHz));
  const powers = new Float64Array(Math.floor(samples.length / block));
  for (let b = 0; b < powers.length; b++)
    for (let i = b * block; i < (b + 1) * block; i++) powers[b] += samples[i] ** 2;
  const { first, last } = longestActive(powers);
  if (last < first) return { start: 0, end: 0 };
  const start = first === 0 ? 0 : (first + SETTLING_BLOCKS) * block;
  const end = last === powers.length - 1 ? samples.length : (last + 1 - SETTLING_BLOCKS) * block;
  return { start, end: Math.max(start, end) };
}

function longestActive(powers: Float64Array): { first: number; last: number } {
  // The loudest tenth may be a door; a block among the louder ones is the stimulus.
  const loud = [...powers].sort((a, b) => b - a)[Math.floor(powers.length / 10)] ?? 0;
  let best = { first: 0, last: -1 };
  let first = -1;
  let last = -1;
  powers.forEach((power, b) => {
    if (!(power > ACTIVE_SHARE * loud)) return;
    if (first < 0 || b - last > PAUSE_BLOCKS) first = b;
    last = b;
    if (last - first > best.last - best.first) best = { first, last };
  });
  return best;
}
