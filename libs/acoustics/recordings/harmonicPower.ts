import { realFourier } from '../fourier/realFourier.js';
import { cellPower } from './cellPower.js';
import type { SweepDeconvolution } from './deconvolveSweep.js';
import { fadedSegment } from './fadedSegment.js';
import { harmonicStretch } from './harmonicStretch.js';
import type { ObservedSweep } from './sweep.js';

/**
 * Squared gain of one order of a deconvolved sweep.
 *
 * @param order 1 for the linear response, 2 for the second harmonic, ...
 * @param cellEdgesHz rising, of the harmonic's own frequency (order times the fundamental's), below 0.49 of the rate
 * @returns mean squared gain per cell, length cellEdgesHz.length - 1
 */
export function harmonicPower(
  deconvolved: SweepDeconvolution,
  sweep: ObservedSweep,
  order: number,
  cellEdgesHz: Float64Array,
): Float64Array {
  const stretch = harmonicStretch(order, sweep);
  const segment = fadedSegment(deconvolved.response, deconvolved.arrivalIndex - stretch.lead, stretch);
  const size = 2 ** Math.ceil(Math.log2(Math.max(segment.length, sweep.sampleRateHz)));
  const binEdges = cellEdgesHz.map((hz) => (hz * size) / sweep.sampleRateHz);
  return realFourier(size).forward(
    (target) => {
      target.set(segment);
      target.fill(0, segment.length);
    },
    (spectrum) => cellPower(spectrum, binEdges),
  );
}
