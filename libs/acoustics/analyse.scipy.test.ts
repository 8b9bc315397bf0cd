import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyse } from './analyse.js';
import type { AnalysisSettings, Curves } from './analysis.js';
import type { AngleResponse, Orbit } from './series.js';
import { emptySet } from './testing/emptySet.js';

interface Fixture {
  readonly sourceHz: readonly number[];
  readonly anglesDeg: readonly number[];
  readonly levelDb: Readonly<Record<Orbit, readonly (readonly number[])[]>>;
  readonly gridHz: readonly number[];
  readonly readings: readonly (Pick<AnalysisSettings, 'rearWall' | 'earlyReflections'> & {
    readonly curves: Curves;
  })[];
  readonly figures: Readonly<Record<string, number>>;
}

/** Made by numpy and scipy: test/fixtures/scipy/directivity_curves.py. */
const fixture = JSON.parse(
  readFileSync(new URL('../../test/fixtures/scipy/directivity_curves.json', import.meta.url), 'utf8'),
) as Fixture;

const frequencyHz = Float64Array.from(fixture.sourceHz);
const angles: AngleResponse[] = (['horizontal', 'vertical'] as const).flatMap((orbit) =>
  fixture.anglesDeg.map((angleDeg, at) => ({
    orbit,
    angleDeg,
    frequencyHz,
    levelDb: Float64Array.from(fixture.levelDb[orbit][at]),
    source: { file: `${orbit} ${angleDeg}`, sha256: `${orbit} ${angleDeg}` },
  })),
);

describe('analyse, against numpy and scipy on a random smooth source', () => {
  it.each(fixture.readings)('agrees in the reading $earlyReflections with $rearWall', (reading) => {
    const { frequencyHz: gridHz, curves } = analyse(emptySet({ angles }), reading);
    expect(gridHz).toHaveLength(fixture.gridHz.length);
    gridHz?.forEach((hz, at) => expect(Math.abs(hz / fixture.gridHz[at] - 1)).toBeLessThan(1e-9));
    const names = Object.keys(reading.curves) as (keyof Curves)[];
    expect(names.length).toBeGreaterThanOrEqual(4);
    for (const name of names) {
      const ours = curves?.[name] ?? [];
      expect(ours).toHaveLength(fixture.gridHz.length);
      const worst = Math.max(...ours.map((db, at) => Math.abs(db - (reading.curves[name]?.[at] ?? NaN))));
      expect({ name, agrees: worst < 1e-6 }).toEqual({ name, agrees: true });
    }
  });

  it('agrees in the figures derived from the curves', () => {
    const result = analyse(emptySet({ angles }));
    const { figures } = fixture;
    expect(result.sensitivity?.db).toBeCloseTo(figures.sensitivityDb, 6);
    expect(result.bass?.f3Hz).toBeCloseTo(figures.f3Hz, 4);
    expect(result.bass?.f6Hz).toBeCloseTo(figures.f6Hz, 4);
    expect(result.bass?.f10Hz).toBeCloseTo(figures.f10Hz, 4);
    expect(result.inRoomTrend?.slopeDbPerOctave).toBeCloseTo(figures.trendSlope, 6);
    expect(result.inRoomTrend?.interceptDb).toBeCloseTo(figures.trendIntercept, 6);
    expect(result.inRoomTrend?.residualRmsDb).toBeCloseTo(figures.trendResidualRms, 6);
    const preference = result.predictedPreference;
    expect(preference?.nbdOnAxis).toBeCloseTo(figures.nbdOnAxis, 6);
    expect(preference?.nbdInRoom).toBeCloseTo(figures.nbdInRoom, 6);
    expect(preference?.smInRoom).toBeCloseTo(figures.smInRoom, 6);
    expect(preference?.lowFrequencyHz).toBeCloseTo(figures.lowFrequencyHz, 4);
    expect(preference?.rating).toBeCloseTo(figures.rating, 6);
  });
});
