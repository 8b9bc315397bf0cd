import { describe, expect, it } from 'vitest';
import type { Finding } from '../analysis.js';
import { findFindings } from './findFindings.js';
import { PLANTING, plantedUnit, type PlantedFeature, type PlantedUnit } from './testing/plantedUnit.js';

const CENTRE_OCTAVES = 1 / 12;
const SIZE_DB = 0.5;
const INVENTED_DB = 1;

/** Peaks, dips and broad departures, whatever curve they were found on. */
function soundFindings(unit: PlantedUnit): readonly Finding[] {
  const kinds = ['peak', 'dip', 'broad-excess', 'broad-deficit'];
  return findFindings(unit).filter(({ kind }) => kinds.includes(kind));
}

function isOf(finding: Finding, feature: PlantedFeature): boolean {
  const apart = Math.abs(Math.log2(finding.centreHz / feature.centreHz));
  return apart <= CENTRE_OCTAVES && Math.abs((finding.levelDb ?? 0) - feature.levelDb) <= SIZE_DB;
}

interface Score {
  readonly planted: number;
  readonly found: number;
  readonly reported: number;
  readonly invented: number;
  readonly rightlyCorrectable: number;
}

function score(unit: PlantedUnit): Score {
  const findings = soundFindings(unit);
  const pairs = unit.features.flatMap((feature) => {
    const finding = findings.find((one) => isOf(one, feature));
    return finding ? [{ feature, finding }] : [];
  });
  const large = findings.filter(({ levelDb }) => Math.abs(levelDb ?? 0) > INVENTED_DB);
  return {
    planted: unit.features.length,
    found: pairs.length,
    reported: large.length,
    invented: large.filter((one) => !unit.features.some((feature) => isOf(one, feature))).length,
    rightlyCorrectable: pairs.filter(
      ({ feature, finding }) => finding.correctable === (feature.reach === 'everywhere'),
    ).length,
  };
}

function total(scores: readonly Score[], key: keyof Score): number {
  return scores.reduce((sum, one) => sum + one[key], 0);
}

describe('ten features planted in a loudspeaker of 70 responses', () => {
  it('are all found: centre within 1/12 octave, size within 0.5 dB, the correctable told from the rest, none invented', () => {
    const unit = plantedUnit(11);
    expect(unit.features).toHaveLength(10);
    expect(new Set(unit.features.map(({ reach }) => reach)).size).toBe(3);
    expect(score(unit)).toEqual({
      planted: 10,
      found: 10,
      reported: 10,
      invented: 0,
      rightlyCorrectable: 10,
    });
  });

  it('in 200 random loudspeakers, recall and precision stay above 0.95', { timeout: 240_000 }, () => {
    const scores = Array.from({ length: 200 }, (_, seed) => score(plantedUnit(1000 + seed, PLANTING)));
    const recall = total(scores, 'found') / total(scores, 'planted');
    const precision = 1 - total(scores, 'invented') / total(scores, 'reported');
    const rightly = total(scores, 'rightlyCorrectable') / total(scores, 'found');
    console.log(
      `200 loudspeakers, 10 features each: recall ${recall.toFixed(3)}, precision ${precision.toFixed(3)}, correctable or not rightly said ${rightly.toFixed(3)}`,
    );
    expect(recall).toBeGreaterThan(0.96);
    expect(precision).toBeGreaterThan(0.96);
    expect(rightly).toBeGreaterThan(0.97);
  });
});

describe('a loudspeaker without features', () => {
  it.each([1, 2, 3, 4, 5])('gives none, seed %i', (seed) => {
    const unit = plantedUnit(seed, { ...PLANTING, features: 0, noiseDb: 0.1 });
    expect(soundFindings(unit).filter(({ levelDb }) => Math.abs(levelDb ?? 0) > INVENTED_DB)).toEqual([]);
  });
});
