import type { SweepDeconvolution } from './deconvolveSweep.js';
import { harmonicPower } from './harmonicPower.js';
import type { SweepReading } from './readSweep.js';
import { type SweepGrid, sweepGrid } from './sweepGrid.js';
import { withoutLinear } from './withoutLinear.js';

/** Harmonic distortion against the fundamental's frequency. */
export interface SweepDistortion {
  readonly frequencyHz: Float64Array;
  /** Level of the fundamental, dB re an amplitude of 1 for a sweep of amplitude 1. */
  readonly fundamentalDb: Float64Array;
  /** Orders 2 to 5, percent of the fundamental; 0 where the harmonic lies beyond the recording's band. */
  readonly harmonicsPercent: Readonly<Record<number, Float64Array>>;
  /** THD_F: the root of the sum of squares of orders 2 to 5, percent of the fundamental. */
  readonly thdPercent: Float64Array;
}

/**
 * Harmonics 2 to 5 and their sum against frequency (separation after Farina, AES 108th Convention, 2000).
 *
 * A harmonic of a flat device is within 0.1 dB from f1 (1 + 2.5 / sqrt(f1 L)) on, and within 1 dB from the first
 * frequency reported, f1 (1 + 0.5 / sqrt(f1 L)), where the sweep's abrupt start shows most (tested).
 *
 * @param deviationDb the microphone's deviation from flat at a frequency, dB; 0 when not known
 * @returns on the 28-per-octave grid; undefined when the recording's band leaves fewer than two points
 */
export function sweepDistortion(
  reading: SweepReading,
  deviationDb: (hz: number) => number,
): SweepDistortion | undefined {
  const { deconvolved, transform, bandHz } = reading;
  const { frequencyHz, orders } = sweepGrid(transform, bandHz);
  const [linear, ...harmonics] = orders;
  if (!linear) return undefined;
  const gain = (order: SweepGrid['orders'][number], from: SweepDeconvolution): Float64Array =>
    harmonicPower(from, transform.sweep, order.order, order.edgesHz).map(
      (power, i) => (power / order.ideal[i]) * correction(deviationDb(order.order * frequencyHz[i])),
    );
  const fundamental = gain(linear, deconvolved);
  const rest = withoutLinear(deconvolved, transform, harmonics[harmonics.length - 1].order);
  const harmonicsPercent: Record<number, Float64Array> = {};
  const sumOfSquares = new Float64Array(frequencyHz.length);
  for (const harmonic of harmonics) {
    const percent = new Float64Array(frequencyHz.length);
    gain(harmonic, rest).forEach((power, i) => {
      percent[i] = 100 * Math.sqrt(power / fundamental[i]);
      sumOfSquares[i] += power / fundamental[i];
    });
    harmonicsPercent[harmonic.order] = percent;
  }
  return {
    frequencyHz,
    fundamentalDb: fundamental.map((power) => 10 * Math.log10(power)),
    harmonicsPercent,
    thdPercent: sumOfSquares.map((ratio) => 100 * Math.sqrt(ratio)),
  };
}

/** What a microphone recorded too loud is taken back. */
function correction(deviationDb: number): number {
  return 10 ** (-deviationDb / 10);
}
