import { halfOrbitRoughness } from './halfOrbitRoughness.js';
import { mean } from './mean.js';
import type { ParityParts } from './parityParts.js';

/** Readings whose two sides seem exchanged: rows of `ParityParts`, 1 is 10 degrees. */
export interface SignFlip {
  readonly firstRow: number;
  readonly rows: number;
  /** Roughness left after the exchange, of 1. */
  readonly left: number;
}

/** A band whose even part is rougher than this share of its variation changes too fast for 10 degree steps. */
const ROUGHEST_EVEN = 0.08;
const LONGEST_RUN = 8;
/** Exchanged, the odd part must be this much smoother in total, and rougher in no band that has any. */
const SMOOTHER = 0.65;
/** A run of several angles has many places to be by chance. */
const RUN_SMOOTHER = 0.5;
const ROUGHER = 1.3;
const ROUGHER_BY = 0.01;
const LEAST_BANDS = 3;
/** Roughness per band that rig imperfections alone leave, re the band's mean square around the orbit. */
const LEAST_GAIN = 0.008;
/** A band counts when its odd part is at least this share of the strongest band's. */
const COUNTS_FROM = 0.02;

/**
 * Finds a run of angles whose plus and minus readings are exchanged. What the sides differ by changes
 * smoothly from angle to angle; an exchange turns its sign over in all bands at once.
 *
 * @returns the run whose exchange smooths the orbit most; undefined when none does convincingly
 */
export function findSignFlip({ even, odd }: ParityParts): SignFlip | undefined {
  const bands = wellSampledBands(even).map((band) => odd.map((row) => row[band]));
  const strongest = Math.max(0, ...bands.map((band) => energy(band)));
  const telling = bands.filter((band) => energy(band) >= COUNTS_FROM * strongest && isSpread(band));
  if (telling.length < LEAST_BANDS) return undefined;
  const given = telling.map((band) => halfOrbitRoughness(band, -1));
  const total = sumOf(given);
  let best: SignFlip | undefined;
  let least = SMOOTHER * total;
  for (let rows = 1; rows <= LONGEST_RUN; rows += 1) {
    for (let firstRow = 1; firstRow + rows <= 18; firstRow += 1) {
      const flipped = telling.map((band) => halfOrbitRoughness(exchange(band, firstRow, rows), -1));
      const after = sumOf(flipped);
      if (
        after >= least ||
        (rows > 1 && after > RUN_SMOOTHER * total) ||
        (total - after) / telling.length < LEAST_GAIN
      )
        continue;
      if (flipped.some((rough, at) => rough > ROUGHER * given[at] + ROUGHER_BY)) continue;
      least = after;
      best = { firstRow, rows, left: after / total };
    }
  }
  return best;
}

/** The even part does not know about signs: where it is rough, 10 degree steps are too wide. */
function wellSampledBands(even: ParityParts['even']): number[] {
  return even[0].flatMap((_, band) => {
    const column = even.map((row) => row[band]);
    const middle = mean(column);
    const variation = sumOf(column.map((value) => (value - middle) ** 2));
    return halfOrbitRoughness(column, 1) < ROUGHEST_EVEN * variation ? [band] : [];
  });
}

function exchange(column: readonly number[], firstRow: number, rows: number): number[] {
  return column.map((value, row) => (row >= firstRow && row < firstRow + rows ? -value : value));
}

function energy(column: readonly number[]): number {
  return sumOf(column.map((value) => value * value));
}

/** One angle standing alone is a fault of that file, not of its sign. */
function isSpread(column: readonly number[]): boolean {
  const largest = Math.max(...column.map((value) => value * value));
  return energy(column) - largest > 0.3 * energy(column);
}

function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}
