import { describe, expect, it } from 'vitest';
import { analyse } from '../libs/acoustics/analyse.js';
import type { AnalysisResult } from '../libs/acoustics/analysis.js';
import { readMeasurementSet } from '../libs/measurement-files/readMeasurementSet.js';
import { recordingFaults, textFaults } from './faults.js';
import type { DataFile } from './files/dataFile.js';
import { measurementSet } from './files/measurementSet.js';
import { setRecipes } from './files/recipes.js';

/** Reads and analyses a set; the codes of problems stand in for a result when it can't be read. */
async function examined(files: readonly DataFile[]): Promise<AnalysisResult | readonly string[]> {
  const { set, problems } = await readMeasurementSet(files);
  return set ? analyse(set) : problems.map((problem) => problem.code);
}

function isResult(value: AnalysisResult | readonly string[]): value is AnalysisResult {
  return 'schema' in value;
}

async function result(files: readonly DataFile[]): Promise<AnalysisResult> {
  const value = await examined(files);
  if (!isResult(value)) throw new Error(`not readable: ${value.join(', ')}`);
  return value;
}

const serious = (analysis: AnalysisResult) =>
  analysis.quality.filter((finding) => finding.severity !== 'note').map((finding) => finding.code);

describe('the clean sets pass every check', () => {
  it.each(setRecipes.map((recipe) => [recipe.designId] as const))('%s', async (designId) => {
    const analysis = await result(measurementSet(designId, { seed: 1, serial: 'A1' }));
    // A subwoofer is measured on its axis alone, and the checks say so.
    const expected = designId === 'gravel-12' ? ['missing-angle', 'missing-angle'] : [];
    expect(serious(analysis)).toEqual(expected);
  });
});

describe('the numbers are those of loudspeakers', () => {
  const inOrbits = setRecipes.filter((recipe) => recipe.directivity.form === 'file-per-angle');
  it.each(inOrbits.map((recipe) => [recipe.designId] as const))('%s', async (designId) => {
    const analysis = await result(measurementSet(designId, { seed: 2 }));
    expect(analysis.sensitivity?.db).toBeGreaterThan(82);
    expect(analysis.sensitivity?.db).toBeLessThan(94);
    expect(analysis.bass?.f3Hz).toBeGreaterThan(25);
    expect(analysis.bass?.f3Hz).toBeLessThan(100);
    expect(analysis.predictedPreference?.rating).toBeGreaterThan(2);
    expect(analysis.predictedPreference?.rating).toBeLessThan(8);
    expect(analysis.inRoomTrend?.slopeDbPerOctave).toBeLessThan(0);
    expect(analysis.inRoomTrend?.slopeDbPerOctave).toBeGreaterThan(-2.5);
  });
});

/** What the checks call each fault; undefined where the data alone can't tell. */
const codes: Readonly<Record<keyof typeof textFaults, string | undefined>> = {
  missingAngle: 'missing-angle',
  duplicateAngle: 'duplicate-angle',
  swappedOrbits: 'swapped-orbits',
  verticalSignFlipped: 'wrong-sign',
  verticalMirrored: undefined,
  levelStep: 'level-step',
  orbitsDisagree: 'axis-disagreement',
  leftRightAsymmetry: 'out-of-family',
  polarityFlip: 'polarity-flip',
  grilleOn: 'grille-mixed',
  identicalFiles: 'identical-files',
  impedanceNegative: 'impedance-unphysical',
  impedancePhaseBeyond90: 'impedance-unphysical',
  gridDiffers: 'grid-differs',
  noiseFloor: 'noise-floor',
  shortWindow: 'short-window',
  serialMismatch: undefined,
  textGarbage: 'not-a-number',
};

describe('every fault is found', () => {
  const clean = measurementSet('strand-7', { seed: 7, serial: 'A1' });
  it.each(Object.entries(codes))('%s', async (name, code) => {
    const value = await examined(textFaults[name as keyof typeof textFaults](clean));
    const found = isResult(value) ? serious(value) : value;
    expect(found).toEqual(code === undefined ? [] : expect.arrayContaining([code]));
  });

  it('a clipped recording', async () => {
    const clean = measurementSet('whin-4', { seed: 7, parts: ['distortion'] });
    const { set } = await readMeasurementSet(recordingFaults.clippedRecording(clean));
    expect(set?.quality.map((finding) => finding.code)).toContain('clipped-recording');
  });
});
