import type { BellShape } from './responseModel.js';

const DB_PER_NEPER_POWER = 10 / Math.LN10;

/** Where the three derivatives of a bell go: columns of length `hz.length` beginning at these offsets. */
export interface BellColumns {
  readonly jacobian: Float64Array;
  readonly lnCentre: number;
  readonly level: number;
  readonly lnQ: number;
}

/**
 * Adds a bell's level, dB, to `out` (length of `hz`) and writes its derivatives when asked.
 *
 * `resonance` is the analogue prototype of the peaking filter of the RBJ Audio EQ Cookbook: with
 * v = Q^2 (x - 1/x)^2, x = f / fc and A^2 = 10^(level / 20), level(f) = 10 lg((v + A^2) / (v + A^-2)); a
 * second-order bandpass added to the direct sound has this very shape. `gaussian` has the same centre, level
 * and half-level width. A point at the centre has v = 0 and the full level.
 */
export function addBell(
  hz: Float64Array,
  bell: {
    readonly lnCentre: number;
    readonly levelDb: number;
    readonly lnQ: number;
    readonly shape: BellShape;
  },
  out: Float64Array,
  columns?: BellColumns,
): void {
  if (bell.shape === 'gaussian') addGaussian(hz, bell, out, columns);
  else addResonance(hz, bell, out, columns);
}

interface BellParameters {
  readonly lnCentre: number;
  readonly levelDb: number;
  readonly lnQ: number;
}

function addResonance(
  hz: Float64Array,
  bell: BellParameters,
  out: Float64Array,
  columns?: BellColumns,
): void {
  const peak = 10 ** (bell.levelDb / 20);
  const inverse = 1 / peak;
  const q = Math.exp(bell.lnQ);
  const inverseCentre = Math.exp(-bell.lnCentre);
  for (let i = 0; i < hz.length; i++) {
    const x = hz[i] * inverseCentre;
    const distance = q * (x - 1 / x);
    const v = distance * distance;
    out[i] += DB_PER_NEPER_POWER * Math.log((v + peak) / (v + inverse));
    if (!columns) continue;
    const byV = DB_PER_NEPER_POWER * (1 / (v + peak) - 1 / (v + inverse));
    columns.jacobian[columns.lnCentre + i] = byV * -2 * distance * q * (x + 1 / x);
    columns.jacobian[columns.level + i] = 0.5 * (peak / (v + peak) + inverse / (v + inverse));
    columns.jacobian[columns.lnQ + i] = byV * 2 * v;
  }
}

function addGaussian(hz: Float64Array, bell: BellParameters, out: Float64Array, columns?: BellColumns): void {
  const q = Math.exp(bell.lnQ);
  const halfWidth = Math.asinh(1 / (2 * q));
  // d ln(halfWidth) / d lnQ
  const widthByLnQ = -1 / (2 * q * Math.sqrt(1 + 1 / (4 * q * q)) * halfWidth);
  for (let i = 0; i < hz.length; i++) {
    const t = (Math.log(hz[i]) - bell.lnCentre) / halfWidth;
    const shape = Math.exp(-Math.LN2 * t * t);
    out[i] += bell.levelDb * shape;
    if (!columns) continue;
    const byT = bell.levelDb * shape * -2 * Math.LN2 * t;
    columns.jacobian[columns.lnCentre + i] = -byT / halfWidth;
    columns.jacobian[columns.level + i] = shape;
    columns.jacobian[columns.lnQ + i] = -byT * t * widthByLnQ;
  }
}
