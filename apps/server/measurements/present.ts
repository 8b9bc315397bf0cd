/** What is said of sets and analyses: every field named, nothing else leaves. */
import type {
  AnalysisView,
  ComputationState,
  ProblemView,
  QualityView,
  SetFileView,
  SetView,
} from '../../../libs/contracts/index.js';

/** Half a megabyte each, and pages show only what is kept beside it. */
export const wholeResult = { result: true, packedResult: true } as const;

export const setInclude = {
  unit: { select: { id: true, name: true, loanId: true } },
  files: { orderBy: { name: 'asc' }, include: { blob: { select: { bytes: true } } } },
  analyses: { orderBy: { createdAt: 'desc' }, take: 20, include: { computation: { omit: wholeResult } } },
} as const;

interface FileRow {
  id: string;
  name: string;
  sha256: string;
  createdAt: Date;
  blob: { bytes: bigint };
}
interface ComputationRow {
  id: string;
  algorithmVersion: string;
  settings: unknown;
  inputs: unknown;
  state: ComputationState;
  progress: number;
  reason: string | null;
  problems: unknown;
  quality: unknown;
  summary: unknown;
  figures: unknown;
  computeMs: number | null;
  finishedAt: Date | null;
}
interface AnalysisRow {
  id: string;
  setId: string;
  createdAt: Date;
  computation: ComputationRow;
}
interface SetRow {
  id: string;
  unitId: string;
  name: string;
  setAsideWhy: string | null;
  invented: boolean;
  version: number;
  createdAt: Date;
  unit: { id: string; name: string; loanId: string };
  files: FileRow[];
  analyses: AnalysisRow[];
}

export function presentFile({ id, name, sha256, createdAt, blob }: FileRow): SetFileView {
  return { id, name, sha256, bytes: Number(blob.bytes), uploadedAt: createdAt.toISOString() };
}

export function presentSet(set: SetRow): SetView {
  return {
    id: set.id,
    unitId: set.unitId,
    name: set.name,
    setAsideWhy: set.setAsideWhy,
    invented: set.invented,
    version: set.version,
    createdAt: set.createdAt.toISOString(),
    files: set.files.map(presentFile),
    analyses: set.analyses.map((analysis) => presentAnalysis(analysis, set)),
  };
}

export function presentAnalysis(analysis: AnalysisRow, set: SetRow): AnalysisView {
  const { computation } = analysis;
  const summary = (computation.summary ?? {}) as {
    blocking?: number;
    checks?: number;
    numbers?: AnalysisView['summary'];
  };
  const inputs = computation.inputs as AnalysisView['inputs'];
  const base = `/api/analyses/${analysis.id}`;
  return {
    id: analysis.id,
    setId: set.id,
    setName: set.name,
    unitId: set.unitId,
    unitName: set.unit.name,
    loanId: set.unit.loanId,
    state: computation.state,
    progress: computation.progress,
    reason: computation.reason,
    createdAt: analysis.createdAt.toISOString(),
    finishedAt: computation.finishedAt?.toISOString() ?? null,
    blocking: summary.blocking ?? 0,
    checks: summary.checks ?? 0,
    algorithmVersion: computation.algorithmVersion,
    settings: computation.settings as Record<string, unknown>,
    inputs,
    problems: (computation.problems ?? []) as ProblemView[],
    quality: qualityOf(computation.quality),
    computeMs: computation.computeMs,
    computationId: computation.id,
    figures: figuresOf(computation.figures, base),
    summary: summary.numbers ?? null,
    resultUrl: computation.summary === null ? null : `${base}/result`,
    current: set.analyses[0]?.id === analysis.id && sameInputs(inputs, set.files),
  };
}

function qualityOf(quality: unknown): QualityView[] {
  return ((quality ?? []) as QualityView[]).map(({ severity, code, message, file }) => ({
    severity,
    code,
    message,
    ...(file ? { file } : {}),
  }));
}

function figuresOf(figures: unknown, base: string): AnalysisView['figures'] {
  return ((figures ?? []) as { name: string; title: string }[]).map(({ name, title }) => ({
    name,
    title,
    svgUrl: `${base}/figures/${name}.svg`,
    pngUrl: `${base}/figures/${name}.png`,
    csvUrl: `${base}/figures/${name}.csv`,
    descriptionUrl: `${base}/figures/${name}.json`,
  }));
}

function sameInputs(inputs: AnalysisView['inputs'], files: readonly FileRow[]): boolean {
  const known = new Set(inputs.map(({ file, sha256 }) => `${sha256} ${file}`));
  return inputs.length === files.length && files.every(({ name, sha256 }) => known.has(`${sha256} ${name}`));
}
