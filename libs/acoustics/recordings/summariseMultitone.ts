import type { Multitone } from '../analysis.js';
import type { MultitoneSeries } from '../series.js';
import { zonesBeyond } from './zonesBeyond.js';

/** The guide line above which distortion is more likely audible (common practice, no source). */
const GUIDE_PERCENT = 3;

/**
 * Multitone distortion plus noise at each level, with its total and where it passes 3 %.
 *
 * A table holds bands only; its total is then the root mean square over the bands, which is exact when every
 * band holds the same power of tones.
 *
 * @returns by rising level; series without a finite point are left out
 */
export function summariseMultitone(series: readonly MultitoneSeries[]): Multitone[] {
  return [...series]
    .sort((a, b) => a.levelDb - b.levelDb)
    .map(summary)
    .filter(({ frequencyHz }) => frequencyHz.length > 0);
}

function summary(series: MultitoneSeries): Multitone {
  const kept = [...series.distortionPercent.keys()].filter((i) =>
    Number.isFinite(series.distortionPercent[i]),
  );
  const frequencyHz = kept.map((i) => series.frequencyHz[i]);
  const distortionPercent = kept.map((i) => series.distortionPercent[i]);
  return {
    levelDb: series.levelDb,
    frequencyHz,
    distortionPercent,
    totalPercent: series.totalPercent ?? Math.hypot(...distortionPercent) / Math.sqrt(kept.length || 1),
    above3Percent: zonesBeyond(frequencyHz, distortionPercent, GUIDE_PERCENT),
  };
}
