/** What was heard against what was measured, with what people decided of it. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { DecidePair, EvidenceView } from '../../../libs/contracts/index.js';
import { findingLike } from '../../../libs/evidence/index.js';
import { change, noteOpenings, StaleVersion, type Change, type Tx } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadFindings, loadRemarks } from './evidenceRows.js';
import { presentEvidence } from './presentEvidence.js';

type Ask = z.output<typeof DecidePair>;

@Injectable()
export class Evidence {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /** Whoever looks has seen the unit's data: a session they begin afterwards is not blind. */
  async ofUnit(unitId: string, by: SignedIn): Promise<EvidenceView> {
    const { database } = this.config;
    const view = await viewOf(database.prisma, unitId);
    if (view.findings.length > 0) await noteOpenings(database, [unitId], by.id);
    return view;
  }

  async decide(unitId: string, ask: Ask, by: SignedIn): Promise<EvidenceView> {
    await change(this.config.database, by, async (made) => {
      const unit = await made.tx.unit.findUnique({ where: { id: unitId } });
      if (!unit) throw refuse.notFound('unit');
      // Two decisions on one pair at once: the second waits, and then sees the first.
      await made.tx.$executeRaw`select 1 from "Unit" where "id" = ${unitId}::uuid for no key update`;
      const about = await whatItIsAbout(made, unitId, ask);
      const pairId = await writeDecision(made, unitId, ask, about.hz);
      made.record({
        action: 'evidence-decided',
        subject: 'pair',
        subjectId: pairId,
        loanId: unit.loanId,
        sentence: `${decisionWords[ask.decision]}: ${about.words} (${unit.name})`,
        reason: ask.note || null,
      });
      made.publish('team', 'evidence-changed', { loanId: unit.loanId, unitId, by: by.name });
    });
    return this.ofUnit(unitId, by);
  }
}

const decisionWords: Readonly<Record<Ask['decision'], string>> = {
  confirmed: 'confirmed a pair',
  refused: 'refused a pair',
  added: 'put together by hand',
  withdrawn: 'took back a decision on a pair',
};

async function viewOf(tx: Tx, unitId: string): Promise<EvidenceView> {
  if ((await tx.unit.count({ where: { id: unitId } })) === 0) throw refuse.notFound('unit');
  const [findings, { remarks, openSessions }, decisions] = await Promise.all([
    loadFindings(tx, unitId),
    loadRemarks(tx, unitId),
    tx.evidencePair.findMany({ where: { unitId }, orderBy: { createdAt: 'asc' } }),
  ]);
  const history = await tx.historyEntry.findMany({
    where: { subject: 'pair', subjectId: { in: decisions.map(({ id }) => id) } },
    orderBy: { at: 'asc' },
    select: { at: true, actorName: true, sentence: true, subjectId: true },
  });
  return presentEvidence({ unitId, findings, remarks, openSessions, decisions, history });
}

/** The remark and the finding must be there: a pair of nothing is a mistake of whoever asks. */
async function whatItIsAbout(made: Change, unitId: string, ask: Ask): Promise<{ words: string; hz: number }> {
  const { remarks } = await loadRemarks(made.tx, unitId);
  const remark = remarks.find(({ id }) => id === ask.remarkId);
  if (!remark) throw refuse.notFound('remark');
  const findings = await loadFindings(made.tx, unitId);
  const finding = findings[findingLike(findings, { kind: ask.findingKind, centreHz: ask.findingHz })];
  if (!finding && ask.decision !== 'withdrawn') throw refuse.notFound('finding');
  const heard = remark.remark.descriptor ?? remark.remark.text.slice(0, 60);
  const words = `“${heard}” of ${remark.by} and ${finding?.words ?? 'a finding that is gone'}`;
  return { words, hz: finding?.centreHz ?? ask.findingHz };
}

async function writeDecision(made: Change, unitId: string, ask: Ask, hz: number): Promise<string> {
  const { remarkId, findingKind, decision, note, version } = ask;
  const known = await made.tx.evidencePair.findMany({ where: { unitId, remarkId, findingKind } });
  const like = known.map((row) => ({ kind: row.findingKind, centreHz: row.findingHz }));
  const row = known[findingLike(like, { kind: findingKind, centreHz: hz })];
  if ((row?.version ?? 0) !== version) throw new StaleVersion(row ?? null);
  const said = { decision, note, byName: made.actor.name, findingHz: hz };
  if (!row) {
    return (await made.tx.evidencePair.create({ data: { unitId, remarkId, findingKind, ...said } })).id;
  }
  await made.tx.evidencePair.update({ where: { id: row.id }, data: { ...said, version: { increment: 1 } } });
  return row.id;
}
