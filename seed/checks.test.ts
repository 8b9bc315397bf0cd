import { describe, expect, it } from 'vitest';
import { analyse } from '../libs/acoustics/analyse.js';
import type { AnalysisResult } from '../libs/acoustics/analysis.js';
import { readMeasurementSet } from '../libs/measurement-files/readMeasurementSet.js';
import { recordingFaults, textFaults } from './faults.js';
import type { DataFile } from './files/dataFile.js';
import { measurementSet } from './files/measurementSet.js';
import { setRecipes } from './files/recipes.js';
import { sofaFile } from './files/sofaFile.js';
import { demoScenario, demoSetFiles } from './scenario.js';

type Examined =
  | { readonly readable: true; readonly analysis: AnalysisResult }
  | { readonly readable: false; readonly codes: readonly string[] };

async function examined(files: readonly DataFile[]): Promise<Examined> {
  const { set, problems } = await readMeasurementSet(files);
  if (!set) return { readable: false, codes: problems.map((problem) => problem.code) };
  return { readable: true, analysis: analyse(set) };
}

async function analysed(files: readonly DataFile[]): Promise<AnalysisResult> {
  const result = await examined(files);
  if (!result.readable) throw new Error(`not readable: ${result.codes.join(', ')}`);
  return result.analysis;
}

/** Codes of the findings that ask for something to be done. */
const serious = (analysis: AnalysisResult) =>
  analysis.quality.filter((finding) => finding.severity !== 'note').map((finding) => finding.code);

/** What a clean set is rightly asked about: a subwoofer has one direction, a lying centre side-by-side drivers. */
const asked: Readonly<Record<string, readonly string[]>> = {
  'gravel-12': ['missing-angle', 'missing-angle'],
  'reedmace-c': ['swapped-orbits'],
};

describe('the clean sets pass the checks and look like loudspeakers', () => {
  it.each(setRecipes.map((recipe) => [recipe.designId, recipe] as const))('%s', async (designId, recipe) => {
    const analysis = await analysed(measurementSet(designId, { seed: 1, serial: 'A1' }));
    expect(serious(analysis)).toEqual(asked[designId] ?? []);
    const { sensitivity, bass, predictedPreference, inRoomTrend } = analysis;
    const numbers = {
      sensitivity: sensitivity?.db ?? 87,
      f3: bass?.f3Hz ?? 50,
      rating: predictedPreference?.rating ?? 5,
      slope: inRoomTrend?.slopeDbPerOctave ?? -1,
    };
    const whole = recipe.directivity.form === 'file-per-angle' || recipe.directivity.form === 'one-table';
    expect(inRoomTrend !== undefined || !whole).toBe(true);
    expect(numbers.sensitivity).toBeGreaterThan(82);
    expect(numbers.sensitivity).toBeLessThan(94);
    // The subwoofer is designed for 24 Hz.
    expect(numbers.f3).toBeGreaterThan(20);
    expect(numbers.f3).toBeLessThan(100);
    expect(numbers.rating).toBeGreaterThan(2);
    expect(numbers.rating).toBeLessThan(8);
    expect(numbers.slope).toBeGreaterThan(-2.5);
    expect(numbers.slope).toBeLessThan(-0.1);
  });

  it('the same unit as SOFA and as text has the same curves', async () => {
    const text = await analysed(measurementSet('sedge-5', { seed: 1, parts: ['horizontal', 'vertical'] }));
    const sofa = await analysed([await sofaFile('sedge-5')]);
    // The SOFA reader states the distance from the file; the text set's noise is a few hundredths of a dB.
    expect(sofa.sensitivity?.db).toBeCloseTo(text.sensitivity?.db ?? 0, 0);
    expect(sofa.predictedPreference?.rating).toBeCloseTo(text.predictedPreference?.rating ?? 0, 0);
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
  leftRightAsymmetry: 'left-right-asymmetry',
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
    const result = await examined(textFaults[name as keyof typeof textFaults](clean));
    const found = result.readable ? serious(result.analysis) : result.codes;
    expect(found.includes(code ?? '')).toBe(code !== undefined);
    expect(found.length > 0).toBe(code !== undefined);
  });

  it('all four of the demo\u2019s faulty set, side by side', async () => {
    const sets = demoScenario({ seed: 1, today: '2026-03-04' }).loans.flatMap((loan) =>
      loan.units.flatMap((unit) => unit.sets.filter((set) => set.faults.length > 0)),
    );
    const [faulty] = sets;
    if (!faulty) throw new Error('the demo has no faulty set');
    const analysis = await analysed(demoSetFiles(faulty, 1));
    expect(new Set(serious(analysis))).toEqual(new Set(faulty.faults.map((fault) => codes[fault])));
  });

  it('a clipped recording', async () => {
    const sweeps = measurementSet('whin-4', { seed: 7, parts: ['distortion'] });
    const { set } = await readMeasurementSet(recordingFaults.clippedRecording(sweeps));
    expect(set?.quality.map((finding) => finding.code)).toContain('clipped-recording');
  });
});
