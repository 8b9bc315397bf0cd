import { addBell } from './addBell.js';
import type { Bell, ResponseData } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

/** Widths that are tried; each is at most 1.6 times narrower than the one before. */
const QS = [0.5, 0.8, 1.2, 1.9, 3, 4.7, 7.5, 12];

/** Bells of 1 dB on a grid of centres and widths, ready to be matched with what a model leaves over. */
export interface BellBank {
  /**
   * The best single bell of each width to explain `residualDb` (data minus model, dB, length of the data),
   * best first, centred between `fromHz` and `toHz`.
   */
  readonly best: (residualDb: Float64Array, fromHz: number, toHz: number) => readonly Bell[];
}

interface Entry {
  readonly q: number;
  readonly centreHz: number;
  /** The shape less what a level and a tilt would explain, weighed as misfits are. */
  readonly weighed: Float64Array;
  readonly energy: number;
}

/**
 * Prepares the bank for `data`. The line is taken out of each shape so that wide bells do not win by being a
 * level; a matched filter's answer is only a start, the fit does the rest.
 */
export function bellBank(data: ResponseData): BellBank {
  const weight = data.sigmaDb.map((sigma) => 1 / (sigma * sigma));
  const octaves = data.hz.map((hz) => Math.log2(hz));
  const widths = QS.map((q) => entriesOfWidth(data, q, weight, octaves));
  return {
    best: (residualDb, fromHz, toHz) => {
      const weighed = residualDb.map((value, i) => value / data.sigmaDb[i]);
      subtractDrift(weighed, data.drift);
      const found = widths.map((entries) => bestOf(entries, weighed, fromHz, toHz));
      return found.sort((a, b) => b.gain - a.gain).map(({ bell }) => bell);
    },
  };
}

function entriesOfWidth(
  data: ResponseData,
  q: number,
  weight: Float64Array,
  octaves: Float64Array,
): readonly Entry[] {
  const entries: Entry[] = [];
  // A wide bell's best centre moves slowly: every third point is enough to start from.
  const stride = q < 2 ? 3 : 1;
  for (let i = 0; i < data.hz.length; i += stride) {
    const shape = new Float64Array(data.hz.length);
    const centreHz = data.hz[i];
    addBell(
      data.hz,
      { lnCentre: Math.log(centreHz), levelDb: 1, lnQ: Math.log(q), shape: 'resonance' },
      shape,
    );
    takeOutLine(octaves, shape, weight);
    const weighed = shape.map((value, k) => value / data.sigmaDb[k]);
    subtractDrift(weighed, data.drift);
    const energy = weighed.reduce((sum, value) => sum + value * value, 0);
    if (energy > 0) entries.push({ q, centreHz, weighed, energy });
  }
  return entries;
}

function bestOf(
  entries: readonly Entry[],
  remainder: Float64Array,
  fromHz: number,
  toHz: number,
): { readonly bell: Bell; readonly gain: number } {
  let bell: Bell = { centreHz: entries[0].centreHz, levelDb: 0, q: entries[0].q, shape: 'resonance' };
  let gain = -1;
  for (const { centreHz, q, weighed, energy } of entries) {
    if (centreHz < fromHz || centreHz > toHz) continue;
    let product = 0;
    for (let i = 0; i < weighed.length; i++) product += weighed[i] * remainder[i];
    if (product * product > gain * energy) {
      gain = (product * product) / energy;
      bell = { centreHz, levelDb: product / energy, q, shape: 'resonance' };
    }
  }
  return { bell, gain };
}

/** Removes the weighted least-squares line over `octaves` from `values` in place. */
function takeOutLine(octaves: Float64Array, values: Float64Array, weight: Float64Array): void {
  let w = 0;
  let wx = 0;
  let wy = 0;
  for (let i = 0; i < values.length; i++) {
    w += weight[i];
    wx += weight[i] * octaves[i];
    wy += weight[i] * values[i];
  }
  let wxx = 0;
  let wxy = 0;
  for (let i = 0; i < values.length; i++) {
    const x = octaves[i] - wx / w;
    wxx += weight[i] * x * x;
    wxy += weight[i] * x * (values[i] - wy / w);
  }
  for (let i = 0; i < values.length; i++) {
    values[i] -= wy / w + (wxy / wxx) * (octaves[i] - wx / w);
  }
}
