import { logGridHz } from '../grid/logGridHz.js';
import { abruptStartPower } from './abruptStartPower.js';
import { cellEdgesHz } from './cellEdgesHz.js';
import { harmonicPower } from './harmonicPower.js';
import type { SweepReading } from './readSweep.js';
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

const ORDERS = [2, 3, 4, 5];
/** A frequency is reported while its third harmonic still lies in the recording's band. */
const HIGHEST_NEEDED = 3;
/** Converters' own filters cut what lies above (20.2 kHz at 48 kHz). */
const USABLE_SHARE_OF_RATE = 0.42;

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
  const { sweep } = transform;
  const topHz = USABLE_SHARE_OF_RATE * sweep.sampleRateHz;
  const fromHz = bandHz[0] * (1 + 0.5 / Math.sqrt(bandHz[0] * sweep.riseSeconds));
  const frequencyHz = logGridHz(fromHz, Math.min(bandHz[1], topHz / HIGHEST_NEEDED));
  if (frequencyHz.length < 2) return undefined;
  const edgesHz = cellEdgesHz(frequencyHz);
  const linear = harmonicPower(deconvolved, sweep, 1, edgesHz);
  const ideal = harmonicPower(transform.ideal, sweep, 1, edgesHz);
  const fundamental = frequencyHz.map((hz, i) => (linear[i] / ideal[i]) * correction(deviationDb(hz)));
  const rest = withoutLinear(deconvolved, transform);
  const harmonicsPercent: Record<number, Float64Array> = {};
  const sumOfSquares = new Float64Array(frequencyHz.length);
  for (const order of ORDERS) {
    const held = frequencyHz.filter((hz) => order * hz <= topHz).length;
    const ownEdgesHz = edgesHz.slice(0, held + 1).map((hz) => order * hz);
    const power = harmonicPower(rest, sweep, order, ownEdgesHz);
    const start = abruptStartPower(sweep, order, ownEdgesHz);
    const percent = new Float64Array(frequencyHz.length);
    power.forEach((value, i) => {
      const ratio = (value / start[i] / fundamental[i]) * correction(deviationDb(order * frequencyHz[i]));
      percent[i] = 100 * Math.sqrt(ratio);
      sumOfSquares[i] += ratio;
    });
    harmonicsPercent[order] = percent;
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
