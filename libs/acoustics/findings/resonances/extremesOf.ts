import { addBell } from './addBell.js';
import { bellEdgesHz } from './bellEdgesHz.js';
import type { Bell } from './responseModel.js';

/** A peak or dip of a sum of bells; `fromHz` and `toHz` are where it has half its level. */
export interface Extreme {
  readonly centreHz: number;
  readonly levelDb: number;
  readonly q: number;
  readonly fromHz: number;
  readonly toHz: number;
}

const POINTS_PER_OCTAVE = 96;

/** The highest point and the lowest point of the bells' sum, where it rises above or falls below zero at all. */
export function extremesOf(bells: readonly Bell[]): readonly Extreme[] {
  if (bells.length === 1) {
    const [fromHz, toHz] = bellEdgesHz(bells[0]);
    const { centreHz, levelDb, q } = bells[0];
    return [{ centreHz, levelDb, q, fromHz, toHz }];
  }
  const edges = bells.map(bellEdgesHz);
  const lowest = Math.min(...edges.map(([fromHz]) => fromHz)) / 2;
  const octaves = Math.log2((Math.max(...edges.map(([, toHz]) => toHz)) * 2) / lowest);
  const hz = Float64Array.from({ length: Math.ceil(octaves * POINTS_PER_OCTAVE) }, (_, i) => {
    return lowest * 2 ** (i / POINTS_PER_OCTAVE);
  });
  const sum = new Float64Array(hz.length);
  for (const bell of bells) {
    addBell(hz, { ...bell, lnCentre: Math.log(bell.centreHz), lnQ: Math.log(bell.q) }, sum);
  }
  return [extreme(hz, sum, 1), extreme(hz, sum, -1)].filter(({ levelDb }) => Math.abs(levelDb) > 0.01);
}

function extreme(hz: Float64Array, sum: Float64Array, sign: 1 | -1): Extreme {
  let at = 0;
  for (let i = 1; i < sum.length; i++) if (sign * sum[i] > sign * sum[at]) at = i;
  const half = (sign * sum[at]) / 2;
  let from = at;
  let to = at;
  while (from > 0 && sign * sum[from - 1] >= half) from--;
  while (to < sum.length - 1 && sign * sum[to + 1] >= half) to++;
  const step = 2 ** (0.5 / POINTS_PER_OCTAVE);
  const fromHz = hz[from] / step;
  const toHz = hz[to] * step;
  const levelDb = sign * sum[at] > 0 ? sum[at] : 0;
  return { centreHz: hz[at], levelDb, q: hz[at] / (toHz - fromHz), fromHz, toHz };
}
