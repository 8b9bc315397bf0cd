import { applyInterpolation } from '../grid/applyInterpolation.js';
import { interpolationPlan } from '../grid/interpolationPlan.js';
import { levelOffsetDb } from '../levels/levelOffsetDb.js';
import { nominalAngleDeg } from '../orbits/nominalAngleDeg.js';
import type { AngleResponse, QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import type { QualityContext } from './qualityContext.js';
import { rms } from './rms.js';

/** Two readings of one angle that differ more than this can't both be it. */
const BLOCKING_RMS_DB = 1;

/** Angles given more than once: which file is right is not ours to guess. */
export function duplicateAngles({ set, directivity }: QualityContext): QualityFinding[] {
  if (directivity === undefined) return [];
  const { frequencyHz } = directivity;
  const onGrid = (series: AngleResponse): Float64Array =>
    applyInterpolation(
      interpolationPlan(series.frequencyHz, frequencyHz),
      series.levelDb,
      levelOffsetDb(set.conditions, series.source.conditions),
    );
  return directivity.duplicates.map((group) => {
    const [first, ...others] = group;
    const levels = group.map((series) => onGrid(series));
    const worst = Math.max(
      ...levels.slice(1).map((other) => rms(Array.from(other, (level, at) => level - levels[0][at]))),
    );
    const name = angleName(first.orbit, nominalAngleDeg(first.angleDeg));
    const files = group.map((series) => sourceName(series)).join(', ');
    return {
      severity: worst > BLOCKING_RMS_DB ? 'blocking' : 'check',
      code: 'duplicate-angle',
      message: `${name} is given ${group.length} times (${files}), ${worst.toFixed(1)} dB RMS apart; the first is used. Keep the right one, and measure whatever angle the other was meant to be.`,
      file: others[0].source.file,
      evidence: {
        title: `${name}, given ${group.length} times`,
        unit: 'dB SPL',
        frequencyHz: Array.from(frequencyHz),
        curves: levels
          .slice(0, 4)
          .map((level, at) => ({ label: sourceName(group[at]), values: Array.from(level) })),
      },
    } satisfies QualityFinding;
  });
}

function sourceName({ source }: AngleResponse): string {
  return source.column === undefined ? source.file : `${source.file} (${source.column})`;
}
