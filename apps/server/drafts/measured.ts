/** What was measured and heard of the units of a loan: to be attached as evidence, and shown beside the text. */
import {
  glances,
  type EvidenceChoices,
  type EvidenceRef,
  type Glance,
} from '../../../libs/contracts/index.js';
import { formatFrequencyRange, formatQuantity } from '../../../libs/figures/index.js';
import type { Tx } from '../../../libs/store/index.js';
import { loadFindings, loadRemarks } from '../listening/evidenceRows.js';

type UnitChoices = EvidenceChoices['units'][number];

interface KeptFigure {
  readonly name: string;
  readonly title: string;
  readonly svg: string;
  readonly csv: string;
}
export interface MeasuredUnit {
  readonly unitId: string;
  readonly unitName: string;
  readonly findings: readonly { readonly words: string; readonly why: string }[];
  readonly figures: readonly (KeptFigure & { readonly analysisId: string })[];
  readonly numbers: readonly Glance[];
}

const unitsOf = (tx: Tx, loanId: string) =>
  tx.unit.findMany({ where: { loanId }, orderBy: { createdAt: 'asc' }, select: { id: true, name: true } });

/** The newest finished analysis of every set of a unit that counts, the newest first. */
const currentAnalyses = (tx: Tx, unitId: string) =>
  tx.analysis.findMany({
    where: { set: { unitId, setAsideWhy: null }, computation: { state: 'done' } },
    distinct: ['setId'],
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    select: { id: true, computation: { select: { figures: true, summary: true } } },
  });

export async function measuredUnits(tx: Tx, loanId: string): Promise<MeasuredUnit[]> {
  const units: MeasuredUnit[] = [];
  for (const { id: unitId, name: unitName } of await unitsOf(tx, loanId)) {
    const analyses = await currentAnalyses(tx, unitId);
    const numbers = new Map<string, Glance>();
    for (const { computation } of analyses) {
      const summary = (computation.summary ?? {}) as { numbers?: Parameters<typeof glances>[0] };
      for (const glance of glances(summary.numbers ?? null))
        if (!numbers.has(glance.key)) numbers.set(glance.key, glance);
    }
    units.push({
      unitId,
      unitName,
      findings: await loadFindings(tx, unitId),
      figures: analyses.flatMap(({ id: analysisId, computation }) =>
        figuresOf(computation.figures).map((figure) => ({ ...figure, analysisId })),
      ),
      numbers: [...numbers.values()],
    });
  }
  return units;
}

/** Pictures of faults in the data are the team's own business. */
const figuresOf = (kept: unknown): KeptFigure[] =>
  ((kept ?? []) as KeptFigure[]).filter(({ name }) => !name.startsWith('evidence-'));

export async function evidenceChoices(tx: Tx, loanId: string): Promise<EvidenceChoices> {
  const units: UnitChoices[] = [];
  for (const { id: unitId, name: unitName } of await unitsOf(tx, loanId)) {
    const analyses = await currentAnalyses(tx, unitId);
    const [newest] = analyses;
    const findings = await loadFindings(tx, unitId);
    const { remarks } = await loadRemarks(tx, unitId);
    units.push({
      unitId,
      unitName,
      findings: findings.map(({ kind, centreHz, words, why }) => ({
        kind: 'finding',
        unitId,
        sentence: short(`${unitName}: ${sentence(words)}${why === '' ? '' : ` ${why}`}`),
        finding: kind,
        frequencyHz: centreHz,
        ...(newest ? { analysisId: newest.id } : {}),
      })),
      figures: analyses.flatMap(({ id: analysisId, computation }) =>
        figuresOf(computation.figures).map(({ name, title }) => ({
          kind: 'figure' as const,
          unitId,
          sentence: short(`${unitName}: figure “${title}”.`),
          analysisId,
          figure: name,
          title,
          svgUrl: `/api/analyses/${analysisId}/figures/${name}.svg`,
        })),
      ),
      remarks: remarks.map((each) => remarkChoice(unitId, unitName, each)),
    });
  }
  return { units };
}

type HeardRemark = Awaited<ReturnType<typeof loadRemarks>>['remarks'][number];

function remarkChoice(unitId: string, unitName: string, heard: HeardRemark): UnitChoices['remarks'][number] {
  const { remark, by } = heard;
  const range =
    remark.fromHz === undefined || remark.toHz === undefined
      ? ''
      : ` (${formatFrequencyRange(remark.fromHz, remark.toHz)})`;
  const words = remark.text === '' ? (remark.descriptor ?? 'a remark') : remark.text;
  return {
    kind: 'remark',
    unitId,
    sentence: short(`${unitName}: ${by} heard “${words}”${range}${heard.blind ? ', blind' : ''}.`),
    sessionId: heard.sessionId,
    remarkId: heard.id.slice(-60),
    by,
  } satisfies EvidenceRef & { by: string };
}

export const sayNumber = ({ value, unit, signed, prefix }: Glance): string =>
  `${prefix ?? ''}${formatQuantity(value, unit, signed ?? false)}`;

const short = (words: string): string => (words.length <= 600 ? words : `${words.slice(0, 599)}…`);
export const sentence = (words: string): string =>
  `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`;
