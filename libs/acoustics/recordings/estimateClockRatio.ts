import { realFourier } from '../fourier/realFourier.js';
import type { SweepDeconvolution } from './deconvolveSweep.js';
import { fadedSegment } from './fadedSegment.js';
import type { ObservedSweep } from './sweep.js';

/** Two ordinary crystal clocks differ by less (each is good to about 100 ppm; common practice, no source). */
const WIDEST = 1e-3;
/** The sharpness must gain this much before a drift is believed. */
const LEAST_GAIN = 1.02;
const SHORTEST_SECONDS = 0.02;
/** Searched in steps of half a radian at f2 over the third of an octave that carries the click. */
const STEP_RADIANS = 0.5;
const THIRD_OCTAVE = 0.35;

/**
 * How fast the recorder's clock ran against the player's, from the sharpness of the linear response.
 *
 * A sweep that lasts (1 + e) times as long as stated leaves, after deconvolution with the stated one, a delay
 * of -e L ln f [derived]: the click is drawn out. The ratio sought makes it sharpest again, by the sum of fourth
 * powers. The sharpness is decided by the top octaves, where a loudspeaker's own delay varies least; a
 * response without them gives the drift and the loudspeaker's own delay together, which changes no level.
 *
 * @param deconvolved with a kernel made for `sweep`, whose own clock ratio is 1
 * @returns recorder seconds per player second; 1 when no drift can be told
 */
export function estimateClockRatio(deconvolved: SweepDeconvolution, sweep: ObservedSweep): number {
  const step = STEP_RADIANS / (2 * Math.PI * sweep.toHz * sweep.riseSeconds * THIRD_OCTAVE);
  const steps = Math.floor(WIDEST / step);
  const halfSeconds = Math.max(SHORTEST_SECONDS, 2 * WIDEST * sweep.seconds);
  const length = 2 ** Math.ceil(Math.log2(2 * halfSeconds * sweep.sampleRateHz));
  if (steps < 2 || length > deconvolved.response.length) return 1;
  const sharpness = sharpnessOver(clickSpectrum(deconvolved, length), sweep, step, steps);
  const best = sharpness.indexOf(Math.max(...sharpness));
  if (best === 0 || best === 2 * steps || sharpness[best] < LEAST_GAIN * sharpness[steps]) return 1;
  const [below, here, above] = sharpness.subarray(best - 1, best + 2);
  const curvature = below - 2 * here + above;
  const vertex = curvature < 0 ? (0.5 * (below - above)) / curvature : 0;
  return 1 + (best - steps + vertex) * step;
}

function clickSpectrum({ response, arrivalIndex }: SweepDeconvolution, length: number): Float32Array {
  const half = length / 2;
  const click = fadedSegment(response, arrivalIndex, {
    before: half,
    after: half,
    fadeIn: half,
    fadeOut: half,
  });
  return realFourier(length).forward(
    (target) => target.set(click),
    (spectrum) => spectrum.slice(),
  );
}

/** The sum of fourth powers with drifts of -steps .. steps times `step` undone; on samples half as far apart. */
function sharpnessOver(click: Float32Array, sweep: ObservedSweep, step: number, steps: number): Float64Array {
  const bins = click.length / 2;
  const spectrum = new Float64Array(click.length);
  const rotation = new Float64Array(click.length);
  for (let k = 1; k < bins; k++) {
    const hz = (k * sweep.sampleRateHz) / click.length;
    if (hz < sweep.fromHz || hz > sweep.toHz) continue;
    const radians = step * 2 * Math.PI * hz * sweep.riseSeconds * Math.log(hz / (sweep.toHz / 2));
    const [cos, sin] = [Math.cos(-steps * radians), Math.sin(-steps * radians)];
    spectrum[2 * k] = click[2 * k] * cos - click[2 * k + 1] * sin;
    spectrum[2 * k + 1] = click[2 * k] * sin + click[2 * k + 1] * cos;
    rotation[2 * k] = Math.cos(radians);
    rotation[2 * k + 1] = Math.sin(radians);
  }
  return new Float64Array(2 * steps + 1).map((_, candidate) => {
    if (candidate > 0) rotate(spectrum, rotation);
    return realFourier(2 * click.length).inverse(
      (target) => {
        target.fill(0);
        target.set(spectrum);
      },
      (samples) => samples.reduce((sum, value) => sum + value * value * value * value, 0),
    );
  });
}

function rotate(spectrum: Float64Array, rotation: Float64Array): void {
  for (let i = 2; i < spectrum.length; i += 2) {
    const re = spectrum[i];
    spectrum[i] = re * rotation[i] - spectrum[i + 1] * rotation[i + 1];
    spectrum[i + 1] = re * rotation[i + 1] + spectrum[i + 1] * rotation[i];
  }
}
