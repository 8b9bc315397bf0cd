const POINTS_PER_OCTAVE = 24;
const HIGHEST_HZ = 20_000;
const LOWEST_HZ = 20;

/**
 * The energy |H|^2 of an impulse response on a grid of 24 frequencies per octave from 20 Hz (or one period of
 * the response) to 20 kHz (or just under half the sample rate). Only needed where a direction must be
 * interpolated, so one Goertzel pass per frequency is quick enough.
 */
export function spectrumEnergy(
  samples: Float64Array,
  sampleRateHz: number,
): { frequencyHz: Float64Array; energy: Float64Array } {
  const lowest = Math.max(LOWEST_HZ, sampleRateHz / samples.length);
  const highest = Math.min(HIGHEST_HZ, 0.49 * sampleRateHz);
  const count = Math.max(2, Math.floor(POINTS_PER_OCTAVE * Math.log2(highest / lowest)) + 1);
  const frequencyHz = Float64Array.from({ length: count }, (_, at) => lowest * 2 ** (at / POINTS_PER_OCTAVE));
  return {
    frequencyHz,
    energy: frequencyHz.map((hz) => goertzel(samples, (2 * Math.PI * hz) / sampleRateHz)),
  };
}

function goertzel(samples: Float64Array, radiansPerSample: number): number {
  const twice = 2 * Math.cos(radiansPerSample);
  let last = 0;
  let before = 0;
  for (let at = 0; at < samples.length; at += 1) {
    const next = samples[at] + twice * last - before;
    before = last;
    last = next;
  }
  return last * last + before * before - twice * last * before;
}
