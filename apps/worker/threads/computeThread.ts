/**
 * What runs in the worker's threads: the same libraries the command line calls, and nothing of the house around
 * them. Values cross the border as structured clones.
 */
import { deserialize } from 'node:v8';
import type { AnalysisResult, AnalysisSettings } from '../../../libs/acoustics/analysis.js';
import { analyse } from '../../../libs/acoustics/analyse.js';
import { comparableProfile } from '../../../libs/acoustics/comparables/comparableProfile.js';
import type { MeasurementSet } from '../../../libs/acoustics/series.js';
import { drawAnalysisFigures } from '../../../libs/figures/drawAnalysisFigures.js';
import { drawPng } from '../../../libs/figures/png/drawPng.js';
import { demoSetFiles, type DemoSet } from '../../../seed/scenario.js';
import type { DataFile } from '../../../seed/files/dataFile.js';
import { freeDrawings } from './freeDrawings.js';
import { summarise } from './summarise.js';
import type { StoredProfile } from '../../../libs/store/archive.js';
import type { ComputationSummary } from '../../../libs/store/unitProgress.js';

export interface AnalyseTask {
  readonly series: Uint8Array;
  readonly settings: Partial<AnalysisSettings>;
}
export interface AnalyseOutcome {
  readonly result: AnalysisResult;
  readonly summary: ComputationSummary;
  readonly profile: StoredProfile | null;
}

export function analyseSet({ series, settings }: AnalyseTask): AnalyseOutcome {
  const set = deserialize(series) as MeasurementSet;
  const result = analyse(set, settings);
  return { result, summary: summarise(set, result), profile: comparableProfile(result) ?? null };
}

export interface DrawTask {
  readonly result: AnalysisResult;
  readonly title: string;
  readonly invented: boolean;
  readonly provenance: string;
}
export interface DrawnFigure {
  readonly name: string;
  readonly title: string;
  readonly svg: string;
  readonly csv: string;
  readonly png: Uint8Array;
  readonly description: string;
}

const PRINT_WIDTH_PX = 1600;

export async function drawFigures({ result, title, invented, provenance }: DrawTask): Promise<DrawnFigure[]> {
  const drawn = drawAnalysisFigures(result, { title, invented, provenance, theme: 'paper', size: 'screen' });
  const figures: DrawnFigure[] = [];
  for (const { name, description, svg, csv } of drawn) {
    const png = drawPng(svg, PRINT_WIDTH_PX);
    figures.push({ name, title: description.title, svg, csv, png, description: JSON.stringify(description) });
  }
  await freeDrawings();
  return figures;
}

/** The demo's measurements are computed too: in a thread, since it takes seconds. */
export function makeDemoSet({ set, seed }: { set: DemoSet; seed: number }): readonly DataFile[] {
  return demoSetFiles(set, seed);
}
