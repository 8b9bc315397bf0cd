/** Every figure an analysis can give, drawn. */
import type { AnalysisResult } from '../acoustics/analysis.js';
import type { QualityFinding } from '../acoustics/series.js';
import type { FigureDescription } from './description.js';
import { describeCoverage, describeDirectivityMap } from './describe/directivityFigures.js';
import { describeEqualiser } from './describe/equaliserFigure.js';
import { describeEvidence } from './describe/evidenceFigure.js';
import type { FigureContext } from './describe/frame.js';
import { describeImpedance } from './describe/impedanceFigure.js';
import { describeLoudestClean } from './describe/loudestCleanFigure.js';
import { describeCompression, describeDistortion, describeMultitone } from './describe/loudFigures.js';
import {
  describeEarlyReflections,
  describeEstimatedInRoom,
  describeFindings,
  describeOnAndOffAxis,
} from './describe/responseFigures.js';
import { drawSvg } from './draw/drawSvg.js';
import type { ThemeName } from './draw/themes.js';
import { figureCsv } from './figureCsv.js';
import type { SizeChoice } from './layout/sizes.js';

export interface FigureOptions extends FigureContext {
  readonly theme: ThemeName;
  readonly size: SizeChoice;
}

export interface DrawnFigure {
  /** Kebab-case, unique within the analysis. */
  readonly name: string;
  readonly description: FigureDescription;
  readonly svg: string;
  readonly csv: string;
}

/** Descriptions of all figures the result's data can give, in reading order, names unique; no figure is empty. */
export function describeAnalysis(result: AnalysisResult, context: FigureContext): FigureDescription[] {
  const wanted = [
    describeOnAndOffAxis(result, context),
    describeFindings(result, context),
    describeEstimatedInRoom(result, context),
    describeEarlyReflections(result, context),
    describeDirectivityMap(result, 'horizontal', context),
    describeDirectivityMap(result, 'vertical', context),
    describeCoverage(result, context),
    describeImpedance(result, context),
    ...(result.distortion ?? [])
      .toSorted((a, b) => a.levelDb - b.levelDb)
      .map((distortion) => describeDistortion(result, distortion, context)),
    describeMultitone(result, context),
    describeCompression(result, context),
    describeLoudestClean(result, context),
    describeEqualiser(result, context),
    ...result.quality.map((finding, index) =>
      describeEvidence(finding, evidenceName(finding, index), context),
    ),
  ];
  return withUniqueNames(wanted.filter((description) => description !== undefined));
}

/** Descriptions drawn to SVG and written as CSV. */
export function drawAnalysisFigures(result: AnalysisResult, options: FigureOptions): readonly DrawnFigure[] {
  const { theme, size, ...context } = options;
  return describeAnalysis(result, context).map((description) => ({
    name: description.name,
    description,
    svg: drawSvg(description, { size, theme }),
    csv: figureCsv(description),
  }));
}

function evidenceName(finding: QualityFinding, index: number): string {
  const code = finding.code.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
  return `evidence-${index + 1}-${code}`.replaceAll(/-+/g, '-').replace(/-$/, '');
}

function withUniqueNames(descriptions: readonly FigureDescription[]): FigureDescription[] {
  const seen = new Map<string, number>();
  return descriptions.map((description) => {
    const count = (seen.get(description.name) ?? 0) + 1;
    seen.set(description.name, count);
    return count === 1 ? description : { ...description, name: `${description.name}-${count}` };
  });
}
