/** The two sides of the evidence: findings of a unit's current results, remarks of its sealed sessions. */
import type { EvidenceFindingView, EvidenceRemarkView, Remark } from '../../../libs/contracts/index.js';
import { sayFinding, type MeasuredFinding } from '../../../libs/evidence/index.js';
import { dayOf, type Tx } from '../../../libs/store/index.js';

/** Two sets of one unit find the same thing when kind and place agree; it is listed once. */
const SAME_WITHIN_OCTAVES = 1 / 12;

/** Of the newest finished analysis of every set that counts, the newest set first. */
export async function loadFindings(tx: Tx, unitId: string): Promise<EvidenceFindingView[]> {
  const analyses = await tx.analysis.findMany({
    where: { set: { unitId, setAsideWhy: null }, computation: { state: 'done' } },
    distinct: ['setId'],
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    select: { set: { select: { name: true } }, computation: { select: { findings: true } } },
  });
  const findings: EvidenceFindingView[] = [];
  for (const { set, computation } of analyses) {
    for (const finding of (computation.findings ?? []) as unknown as MeasuredFinding[]) {
      const known = findings.some(
        ({ kind, centreHz }) =>
          kind === finding.kind && Math.abs(Math.log2(centreHz / finding.centreHz)) < SAME_WITHIN_OCTAVES,
      );
      if (!known) findings.push(presentFinding(finding, set.name));
    }
  }
  return findings.sort((a, b) => a.centreHz - b.centreHz || (a.key < b.key ? -1 : 1));
}

function presentFinding(finding: MeasuredFinding, setName: string): EvidenceFindingView {
  return {
    key: `${finding.kind}@${Number(finding.centreHz.toPrecision(6))}`,
    kind: finding.kind,
    fromHz: finding.fromHz,
    toHz: finding.toHz,
    centreHz: finding.centreHz,
    levelDb: finding.levelDb ?? null,
    q: finding.q ?? null,
    curve: finding.curve ?? null,
    correctable: finding.correctable ?? null,
    why: finding.why ?? '',
    words: sayFinding(finding),
    setName,
  };
}

export async function loadRemarks(
  tx: Tx,
  unitId: string,
): Promise<{ remarks: EvidenceRemarkView[]; openSessions: number }> {
  const sessions = await tx.listeningSession.findMany({
    where: { unitId },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    include: {
      listener: { select: { name: true } },
      additions: { orderBy: [{ createdAt: 'asc' }, { id: 'asc' }] },
    },
  });
  const sealed = sessions.filter(({ sealedAt }) => sealedAt !== null);
  const remarks = sealed.flatMap((session) => {
    const common = {
      sessionId: session.id,
      by: session.listener.name,
      heardOn: dayOf(session.heardOn),
      blind: session.blind,
    };
    const own = session.remarks as unknown as Remark[];
    return [
      ...own.map((remark) => ({ ...common, id: `${session.id}:${remark.id}`, after: false, remark })),
      ...session.additions.map(({ id, remark }) => ({
        ...common,
        id,
        after: true,
        remark: remark as unknown as Remark,
      })),
    ];
  });
  return { remarks, openSessions: sessions.length - sealed.length };
}
