import { fastSize } from '../fourier/fastSize.js';
import type { FourierKernel } from '../fourier/realFourier.js';
import { deconvolveSweep } from './deconvolveSweep.js';
import { harmonicPower } from './harmonicPower.js';
import type { ObservedSweep } from './sweep.js';
import { sweepKernel } from './sweepKernel.js';
import { sweepSamples } from './sweepSamples.js';

/** The start is forgotten at this many times its frequency; a sweep four times as long in range shows it all. */
const FELT_UP_TO = 4;
const SIMULATED_UP_TO = 16;

/**
 * Squared gain of a perfect harmonic in the lowest octaves, where the sweep's abrupt start shows: what a device that
 * makes sin(n phi) of sin(phi) would seem to give. Dividing by it takes the edge away.
 *
 * @param order harmonic
 * @param cellEdgesHz rising, of the harmonic's own frequency
 * @returns per cell; 1 from four times order x f1 up
 */
export function abruptStartPower(
  sweep: ObservedSweep,
  order: number,
  cellEdgesHz: Float64Array,
): Float64Array {
  const power = new Float64Array(Math.max(0, cellEdgesHz.length - 1)).fill(1);
  const startHz = order * sweep.fromHz;
  const felt = cellEdgesHz.filter((hz) => hz <= FELT_UP_TO * startHz);
  const { part, kernel } = simulated(sweep, startHz);
  if (felt.length < 2) return power;
  // The part starts with the order's own frequency at t = 0, so the whole sweep's kernel puts it at its lead.
  const deconvolved = { ...deconvolveSweep(sweepSamples(part), kernel), arrivalIndex: 0 };
  power.set(harmonicPower(deconvolved, sweep, order, felt));
  return power;
}

function simulated(sweep: ObservedSweep, startHz: number): { part: ObservedSweep; kernel: FourierKernel } {
  const toHz = Math.min(SIMULATED_UP_TO * startHz, 0.45 * sweep.sampleRateHz);
  const seconds = sweep.riseSeconds * Math.log(toHz / startHz);
  // Room for the lead and the windows around it, so that the circle does not bite its tail.
  const size = fastSize((2 * seconds + 0.5) * sweep.sampleRateHz, 'atLeast');
  return { part: { ...sweep, fromHz: startHz, toHz, seconds }, kernel: sweepKernel(sweep, size) };
}
