/**
 * Noise within a third of an octave, as a loop without a seam: sines of random phase whose periods fit the loop, so
 * that nothing at all lies outside the band.
 */
import { thirdOctave } from './frequencyScale.js';

const LOOP_S = 2;
const MOST_SINES = 72;

/**
 * @param hz the band's middle; 20 Hz to 20 kHz
 * @param random numbers from 0 to 1
 * @returns one loop with the RMS of a full-scale sine, 1/√2; its peaks reach further, so it is played well below
 */
export function bandNoise(hz: number, sampleRateHz: number, random: () => number): Float32Array<ArrayBuffer> {
  const { fromHz, toHz } = thirdOctave(hz);
  const samples = new Float32Array(LOOP_S * sampleRateHz);
  const bins = chosenBins(
    Math.ceil(fromHz * LOOP_S),
    Math.floor(Math.min(toHz, sampleRateHz / 2.2) * LOOP_S),
    random,
  );
  const amplitude = 1 / Math.sqrt(bins.length);
  for (const bin of bins) addSine(samples, bin, 2 * Math.PI * random(), amplitude);
  return samples;
}

function chosenBins(first: number, last: number, random: () => number): number[] {
  const count = last - first + 1;
  if (count <= MOST_SINES) return Array.from({ length: count }, (_, index) => first + index);
  const chosen = new Set<number>();
  while (chosen.size < MOST_SINES) chosen.add(first + Math.min(count - 1, Math.floor(random() * count)));
  return [...chosen];
}

/** By turning a vector on: two multiplications a sample instead of a sine. */
function addSine(samples: Float32Array, bin: number, phase: number, amplitude: number): void {
  const step = (2 * Math.PI * bin) / samples.length;
  const [cosine, sine] = [Math.cos(step), Math.sin(step)];
  let [x, y] = [amplitude * Math.cos(phase), amplitude * Math.sin(phase)];
  for (let index = 0; index < samples.length; index++) {
    samples[index] = (samples[index] ?? 0) + y;
    [x, y] = [x * cosine - y * sine, x * sine + y * cosine];
  }
}

export function rmsOf(samples: Float32Array): number {
  return Math.sqrt(samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length);
}
