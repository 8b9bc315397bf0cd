import { addBell } from './addBell.js';

/** Bells of 1 dB on a grid of widths and centres: the library a bank is made of. */
export interface BellShapes {
  /** One row per width, in falling width. */
  readonly widths: readonly {
    readonly q: number;
    readonly centresHz: readonly number[];
    /** The bell at `centresHz[k]` over the grid: `[k * points, (k + 1) * points)`. */
    readonly levelDb: Float64Array;
  }[];
  readonly points: number;
}

/** Widths that are tried; each is at most 1.6 times narrower than the one before. */
const QS = [0.5, 0.8, 1.2, 1.9, 3, 4.7, 7.5, 12];
/** Centres are tried this share of a bell's width apart: near enough to start from. */
const APART = 0.2;

/** The library over `hz`; centres are points of the grid. */
export function bellShapes(hz: Float64Array): BellShapes {
  const lnStep = Math.log(hz[hz.length - 1] / hz[0]) / (hz.length - 1);
  const widths = QS.map((q) => {
    const stride = Math.max(1, Math.floor((APART * Math.asinh(1 / (2 * q)) * 2) / lnStep));
    const centresHz = Array.from(hz).filter((_, i) => i % stride === 0);
    const levelDb = new Float64Array(centresHz.length * hz.length);
    centresHz.forEach((centreHz, k) => {
      const row = levelDb.subarray(k * hz.length, (k + 1) * hz.length);
      addBell(hz, { lnCentre: Math.log(centreHz), levelDb: 1, lnQ: Math.log(q), shape: 'resonance' }, row);
    });
    return { q, centresHz, levelDb };
  });
  return { widths, points: hz.length };
}
