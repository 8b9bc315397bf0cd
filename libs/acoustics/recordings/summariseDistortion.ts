import type { Distortion } from '../analysis.js';
import type { DistortionSeries } from '../series.js';
import { zonesBeyond } from './zonesBeyond.js';

/** The guide line above which distortion is more likely audible (common practice, no source). */
const GUIDE_PERCENT = 3;

/**
 * Harmonic distortion at each level, with where it passes 3 %.
 *
 * Where a table gives harmonics but no sum, THD_F is the root of the sum of their squares. Points without a finite
 * sum are left out; a harmonic a table leaves blank counts as 0.
 *
 * @returns by rising level; series with nothing to tell are left out
 */
export function summariseDistortion(series: readonly DistortionSeries[]): Distortion[] {
  return [...series]
    .sort((a, b) => a.levelDb - b.levelDb)
    .map(summary)
    .filter(({ frequencyHz }) => frequencyHz.length > 0);
}

function summary(series: DistortionSeries): Distortion {
  const orders = Object.keys(series.harmonicsPercent).map(Number);
  const thdAt = (i: number): number => {
    const stated = series.thdPercent?.[i];
    if (stated !== undefined && Number.isFinite(stated)) return stated;
    const known = orders.map((order) => series.harmonicsPercent[order][i]).filter(Number.isFinite);
    return known.length === 0 ? Number.NaN : Math.hypot(...known);
  };
  const thd = Array.from(series.frequencyHz, (_, i) => thdAt(i));
  const kept = [...thd.keys()].filter((i) => Number.isFinite(thd[i]));
  const frequencyHz = kept.map((i) => series.frequencyHz[i]);
  const thdPercent = kept.map((i) => thd[i]);
  const harmonicsPercent = Object.fromEntries(
    orders.map((order) => [String(order), kept.map((i) => finiteOrZero(series.harmonicsPercent[order][i]))]),
  );
  const above3Percent = zonesBeyond(frequencyHz, thdPercent, GUIDE_PERCENT);
  return { levelDb: series.levelDb, frequencyHz, thdPercent, harmonicsPercent, above3Percent };
}

function finiteOrZero(value: number | undefined): number {
  return value !== undefined && Number.isFinite(value) ? value : 0;
}
