import { dotProduct } from '../../fitting/dotProduct.js';
import type { BellShapes } from './bellShapes.js';
import type { Bell, ResponseData } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

/** Bells on a grid of centres and widths, ready to be matched with what a model leaves over. */
export interface BellBank {
  /**
   * The best single bell of each width to explain `residualDb` (data minus model, dB, length of the data),
   * best first, centred between `fromHz` and `toHz`.
   */
  readonly best: (residualDb: Float64Array, fromHz: number, toHz: number) => readonly Bell[];
}

interface Width {
  readonly q: number;
  readonly centresHz: readonly number[];
  /** Each bell less what a level and a tilt would explain, weighed as misfits are; rows as in the library. */
  readonly weighed: Float64Array;
  readonly energy: Float64Array;
}

/**
 * Weighs a library of shapes over `data`'s grid for matching. The line is taken out of each shape so that wide
 * bells do not win by being a level; a matched filter's answer is only a start, the fit does the rest.
 */
export function bellBank(data: ResponseData, shapes: BellShapes): BellBank {
  const weigh = rowWeigher(data);
  const widths = shapes.widths.map(({ q, centresHz, levelDb }): Width => {
    const weighed = Float64Array.from(levelDb);
    const energy = new Float64Array(centresHz.length);
    for (let k = 0; k < centresHz.length; k++) energy[k] = weigh(weighed, k * shapes.points);
    return { q, centresHz, weighed, energy };
  });
  return {
    best: (residualDb, fromHz, toHz) => {
      const remainder = residualDb.map((value, i) => value / data.sigmaDb[i]);
      subtractDrift(remainder, data.drift);
      const found = widths.map((width) => bestOf(width, remainder, fromHz, toHz));
      return found.sort((a, b) => b.gain - a.gain).map(({ bell }) => bell);
    },
  };
}

function bestOf(
  { q, centresHz, weighed, energy }: Width,
  remainder: Float64Array,
  fromHz: number,
  toHz: number,
): { readonly bell: Bell; readonly gain: number } {
  let bell: Bell = { centreHz: centresHz[0], levelDb: 0, q, shape: 'resonance' };
  let gain = -1;
  for (let k = 0; k < centresHz.length; k++) {
    if (centresHz[k] < fromHz || centresHz[k] > toHz || energy[k] <= 0) continue;
    const from = k * remainder.length;
    const product = dotProduct(weighed, from, remainder, 0, remainder.length);
    if (product * product <= gain * energy[k]) continue;
    gain = (product * product) / energy[k];
    bell = { centreHz: centresHz[k], levelDb: product / energy[k], q, shape: 'resonance' };
  }
  return { bell, gain };
}

/**
 * Takes the weighted least-squares line over log frequency out of a row, in place, weighs the rest, and says
 * how large it is.
 */
function rowWeigher(data: ResponseData): (values: Float64Array, from: number) => number {
  const points = data.hz.length;
  const perSigma = data.sigmaDb.map((sigma) => 1 / sigma);
  const octaves = data.hz.map((hz) => Math.log2(hz));
  let total = 0;
  let middle = 0;
  for (let i = 0; i < points; i++) {
    total += perSigma[i] ** 2;
    middle += perSigma[i] ** 2 * octaves[i];
  }
  middle /= total;
  let spread = 0;
  for (let i = 0; i < points; i++) {
    octaves[i] -= middle;
    spread += (perSigma[i] * octaves[i]) ** 2;
  }
  return (values, from) => {
    let level = 0;
    let slope = 0;
    for (let i = 0; i < points; i++) {
      const weighed = perSigma[i] * perSigma[i] * values[from + i];
      level += weighed;
      slope += weighed * octaves[i];
    }
    level /= total;
    slope /= spread;
    let energy = 0;
    let next = 0;
    // From the last point down, so that each can be compared with its successor before that is overwritten.
    for (let i = points - 1; i >= 0; i--) {
      const weighed = (values[from + i] - level - slope * octaves[i]) * perSigma[i];
      values[from + i] = i + 1 < points ? weighed - data.drift * next : weighed;
      next = weighed;
      energy += values[from + i] ** 2;
    }
    return energy;
  };
}
