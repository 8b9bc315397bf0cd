import { describe, expect, it } from 'vitest';
import { emptySet } from '../testing/emptySet.js';
import { orbitsOf } from '../testing/orbitsOf.js';
import { angleAt } from './angleAt.js';
import { nominalAngleDeg } from './nominalAngleDeg.js';
import { prepareDirectivity } from './prepareDirectivity.js';

const frequencyHz = Float64Array.from({ length: 61 }, (_, k) => 20 * 10 ** (k / 20));

describe('nominalAngleDeg', () => {
  it.each([
    [330, -30],
    [180, 180],
    [-180, 180],
    [360, 0],
    [29.7, 30],
    [-0.2, 0],
    [15, 15],
    [-97.26, -97.3],
    [540, 180],
    [179.8, 180],
  ])('of %f is %f', (given, nominal) => {
    expect(Object.is(nominalAngleDeg(given), nominal)).toBe(true);
  });
});

describe('prepareDirectivity', () => {
  it('lets one orbit serve for the other where they meet', () => {
    const angles = orbitsOf(frequencyHz, (orbit) => (orbit === 'vertical' ? 88 : 90)).filter(
      ({ orbit, angleDeg }) => orbit === 'vertical' || angleDeg !== 0,
    );
    const directivity = prepareDirectivity(emptySet({ angles }));
    if (directivity === undefined) throw new Error('no directivity');
    expect(angleAt(directivity, 'horizontal', 0)?.levelDb[0]).toBe(88);
    expect(angleAt(directivity, 'horizontal', 180)?.levelDb[0]).toBe(90);
    expect(angleAt(directivity, 'horizontal', 45)).toBeUndefined();
  });

  it('mirrors only by the operator word and never over a measured angle', () => {
    const angles = orbitsOf(frequencyHz, (_, angle) => 90 + angle / 100).filter(
      ({ orbit, angleDeg }) => orbit === 'horizontal' && (angleDeg >= 0 || angleDeg === -20),
    );
    expect(prepareDirectivity(emptySet({ angles }))?.angles).toHaveLength(20);
    const mirrored = prepareDirectivity(emptySet({ angles, conditions: { mirrorHorizontal: true } }));
    if (mirrored === undefined) throw new Error('no directivity');
    expect(mirrored.angles).toHaveLength(36);
    expect(angleAt(mirrored, 'horizontal', -30)?.levelDb[0]).toBeCloseTo(90.3, 9);
    expect(angleAt(mirrored, 'horizontal', -20)?.levelDb[0]).toBeCloseTo(89.8, 9);
  });

  it('uses the frequencies all files share and sets aside one that shares almost none', () => {
    const angles = orbitsOf(frequencyHz, () => 90);
    const short = { ...angles[3], frequencyHz: frequencyHz.slice(10), levelDb: angles[3].levelDb.slice(10) };
    const cut = prepareDirectivity(emptySet({ angles: [short, ...angles.filter((_, at) => at !== 3)] }));
    expect(cut?.frequencyHz[0]).toBeGreaterThan(60);
    expect(cut?.excluded).toEqual([]);
    const stub = {
      ...angles[3],
      frequencyHz: frequencyHz.slice(0, 6),
      levelDb: angles[3].levelDb.slice(0, 6),
    };
    const kept = prepareDirectivity(emptySet({ angles: [stub, ...angles.filter((_, at) => at !== 3)] }));
    expect(kept?.frequencyHz[0]).toBe(20);
    expect(kept?.excluded).toEqual([stub]);
  });

  it('gives nothing for an empty set or data outside the grid', () => {
    expect(prepareDirectivity(emptySet())).toBeUndefined();
    const ultrasonic = frequencyHz.map((hz) => hz + 30_000);
    expect(prepareDirectivity(emptySet({ angles: orbitsOf(ultrasonic, () => 90) }))).toBeUndefined();
  });
});
