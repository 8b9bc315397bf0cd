/** Seals to be looked at: who listened, whether blind, and whether what was sealed still stands. */
import { Inject, Injectable } from '@nestjs/common';
import type { Remark, SealRecordView } from '../../../libs/contracts/index.js';
import { hashOfText, instantOf, sealedFrom, sealHolds, type Tx } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentAddition } from './listeningRows.js';

@Injectable()
export class SealRecords {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async one(id: string, by: SignedIn): Promise<SealRecordView> {
    const { prisma } = this.config.database;
    const [record] = await recordsOf(prisma, { id });
    if (!record) throw refuse.notFound('sealed listening session');
    if ((await sealedFrom(prisma, by.id)).units.has(record.unitId)) throw refuse.sealed(record.unitName);
    return record;
  }

  /** For readers of a review that is out; of any other loan nothing is said, not even that it is there. */
  async published(loanId: string): Promise<SealRecordView[]> {
    const { prisma } = this.config.database;
    const out = await prisma.loan.count({ where: { id: loanId, publishedAt: { lte: new Date() } } });
    if (out === 0) throw refuse.notFound('published review');
    return recordsOf(prisma, { unit: { loanId } });
  }
}

async function recordsOf(tx: Tx, where: Record<string, unknown>): Promise<SealRecordView[]> {
  const rows = await tx.listeningSession.findMany({
    where: { ...where, sealedAt: { not: null } },
    orderBy: [{ sealedAt: 'asc' }, { id: 'asc' }],
    include: {
      listener: { select: { name: true } },
      unit: { select: { name: true } },
      additions: { orderBy: [{ createdAt: 'asc' }, { id: 'asc' }] },
    },
  });
  const openings = await tx.dataOpening.findMany({
    where: { unitId: { in: rows.map(({ unitId }) => unitId) } },
  });
  return rows.map((row) => {
    const opening = openings.find((one) => one.unitId === row.unitId && one.accountId === row.listenerId);
    return {
      sessionId: row.id,
      unitId: row.unitId,
      unitName: row.unit.name,
      by: row.listener.name,
      begunAt: (row.begunAt ?? row.createdAt).toISOString(),
      firstKeptAt: row.createdAt.toISOString(),
      sealedAt: (row.sealedAt ?? row.createdAt).toISOString(),
      blind: row.blind,
      givenUpAt: instantOf(row.givenUpAt),
      dataOpenedAt: instantOf(opening?.firstAt ?? null),
      sealHash: row.sealHash ?? '',
      sealedText: row.sealedText,
      recomputedHash: row.sealedText === null ? null : hashOfText(row.sealedText),
      holds: sealHolds(row, row),
      remarks: row.remarks as unknown as Remark[],
      additions: row.additions.map(presentAddition),
    };
  });
}
