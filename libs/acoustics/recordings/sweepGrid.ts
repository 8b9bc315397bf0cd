import { logGridHz } from '../grid/logGridHz.js';
import { abruptStartPower } from './abruptStartPower.js';
import { cellEdgesHz } from './cellEdgesHz.js';
import { harmonicPower } from './harmonicPower.js';
import type { SweepTransform } from './sweepTransform.js';

/** Where harmonics of a sweep are read, and what a perfect device would give there. */
export interface SweepGrid {
  /** Of the fundamental; empty or a single point when nothing can be read. */
  readonly frequencyHz: Float64Array;
  /** Order 1 first, then harmonics 2 to 5. */
  readonly orders: readonly {
    readonly order: number;
    /** Cell edges at the order's own frequency, as far as the recording holds them. */
    readonly edgesHz: Float64Array;
    /** Squared gain of a perfect device, per cell. */
    readonly ideal: Float64Array;
  }[];
}

const HARMONICS = [2, 3, 4, 5];
/** A frequency is reported while its third harmonic still lies in the recording's band. */
const HIGHEST_NEEDED = 3;
/** Converters' own filters cut what lies above (20.2 kHz at 48 kHz). */
const USABLE_SHARE_OF_RATE = 0.42;

const made = new WeakMap<SweepTransform, Map<string, SweepGrid>>();

/**
 * The frequencies at which a sweep's harmonics are read: 28 per octave, from where its abrupt start no longer
 * drowns them up to where the third harmonic leaves the recording. Kept with the transform for its other recordings.
 *
 * @param bandHz the part of the sweep a recording holds
 */
export function sweepGrid(transform: SweepTransform, bandHz: readonly [number, number]): SweepGrid {
  const grids = made.get(transform) ?? new Map<string, SweepGrid>();
  made.set(transform, grids);
  const grid = grids.get(bandHz.join()) ?? prepare(transform, bandHz);
  grids.set(bandHz.join(), grid);
  return grid;
}

function prepare({ sweep, ideal }: SweepTransform, bandHz: readonly [number, number]): SweepGrid {
  const topHz = USABLE_SHARE_OF_RATE * sweep.sampleRateHz;
  const fromHz = bandHz[0] * (1 + 0.5 / Math.sqrt(bandHz[0] * sweep.riseSeconds));
  const frequencyHz = logGridHz(fromHz, bandHz[1]).filter((hz) => HIGHEST_NEEDED * hz <= topHz);
  if (frequencyHz.length < 2) return { frequencyHz, orders: [] };
  const edgesHz = cellEdgesHz(frequencyHz);
  const harmonics = HARMONICS.map((order) => {
    const held = frequencyHz.filter((hz) => order * hz <= topHz).length;
    const ownEdgesHz = edgesHz.slice(0, held + 1).map((hz) => order * hz);
    return { order, edgesHz: ownEdgesHz, ideal: abruptStartPower(sweep, order, ownEdgesHz) };
  });
  const linear = { order: 1, edgesHz, ideal: harmonicPower(ideal, sweep, 1, edgesHz) };
  return { frequencyHz, orders: [linear, ...harmonics] };
}
