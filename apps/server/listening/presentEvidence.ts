/** The evidence of a unit as one view: computed pairs and people's decisions laid over each other. */
import type {
  EvidenceFindingView,
  EvidencePairView,
  EvidenceRemarkView,
  EvidenceView,
  PairDecision,
} from '../../../libs/contracts/index.js';
import {
  correlate,
  findingLike,
  standingPairs,
  type Decision,
  type HeardRemark,
  type MeasuredFinding,
  type StandingPair,
} from '../../../libs/evidence/index.js';

interface DecisionRow {
  readonly id: string;
  readonly remarkId: string;
  readonly findingKind: string;
  readonly findingHz: number;
  readonly decision: string;
  readonly note: string;
  readonly byName: string;
  readonly version: number;
  readonly updatedAt: Date;
}
interface HistoryRow {
  readonly at: Date;
  readonly actorName: string;
  readonly sentence: string;
  readonly subjectId: string;
}
interface Found {
  readonly unitId: string;
  readonly findings: readonly EvidenceFindingView[];
  readonly remarks: readonly EvidenceRemarkView[];
  readonly openSessions: number;
  readonly decisions: readonly DecisionRow[];
  readonly history: readonly HistoryRow[];
}

export function presentEvidence(found: Found): EvidenceView {
  const { unitId, findings, remarks, openSessions, history } = found;
  const measured = findings.map(asMeasured);
  const heard = remarks.map(asHeard);
  const placed = found.decisions.map((row) => ({
    row,
    at: findingLike(measured, { kind: row.findingKind, centreHz: row.findingHz }),
  }));
  const decided = placed.flatMap(({ row, at }): Decision[] =>
    at < 0 || row.decision === 'withdrawn'
      ? []
      : [{ remarkId: row.remarkId, findingIndex: at, decision: row.decision as Decision['decision'] }],
  );
  const standing = standingPairs(measured, heard, correlate(measured, heard), decided);
  const keyAt = (index: number): string => findings[index]?.key ?? '';
  return {
    unitId,
    findings: [...findings],
    remarks: [...remarks],
    pairs: standing.pairs.map((pair) => {
      const row = placed.find(
        ({ row: { remarkId }, at }) => at === pair.findingIndex && remarkId === pair.remarkId,
      )?.row;
      return presentPair(pair, keyAt(pair.findingIndex), row, history);
    }),
    heardOnly: standing.heardOnly.map(({ remarkId, likelyCause, reason }) => ({
      remarkId,
      likelyCause,
      reason,
    })),
    measuredOnly: standing.measuredOnly.map(({ findingIndex, reason }) => ({
      findingKey: keyAt(findingIndex),
      reason,
    })),
    lost: placed
      .filter(({ row, at }) => at < 0 && row.decision !== 'withdrawn')
      .map(({ row: { remarkId, findingKind, findingHz, decision, note } }) => ({
        remarkId,
        findingKind,
        findingHz,
        decision: decision as PairDecision,
        note,
      })),
    openSessions,
  };
}

function presentPair(
  pair: StandingPair,
  findingKey: string,
  row: DecisionRow | undefined,
  history: readonly HistoryRow[],
): EvidencePairView {
  return {
    remarkId: pair.remarkId,
    findingKey,
    score: pair.score ?? null,
    reason: pair.reason,
    decision: pair.decision,
    note: row?.note ?? '',
    by: row?.byName ?? null,
    at: row?.updatedAt.toISOString() ?? null,
    version: row?.version ?? 0,
    history: history
      .filter(({ subjectId }) => subjectId === row?.id)
      .map(({ at, actorName, sentence }) => ({ at: at.toISOString(), by: actorName, sentence })),
  };
}

const asMeasured = (finding: EvidenceFindingView): MeasuredFinding => ({
  kind: finding.kind,
  fromHz: finding.fromHz,
  toHz: finding.toHz,
  centreHz: finding.centreHz,
  levelDb: finding.levelDb ?? undefined,
  q: finding.q ?? undefined,
  curve: finding.curve ?? undefined,
  correctable: finding.correctable ?? undefined,
  why: finding.why,
});

const asHeard = ({ id, remark }: EvidenceRemarkView): HeardRemark => ({ ...remark, id });
