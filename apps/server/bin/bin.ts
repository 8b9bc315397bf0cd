/** The bin: what lies in it for whom, back out of it, and out of it for good. */
import { Inject, Injectable } from '@nestjs/common';
import { binKinds, type BinKind, type BinView, type PutBack } from '../../../libs/contracts/index.js';
import {
  change,
  purgeEntry,
  restoreFromBin,
  sealedFrom,
  type Change,
  type Sealed,
  type Tx,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

/** What these kinds are called says nothing of results, nor does what comes back with them. */
const plain: ReadonlySet<string> = new Set<BinKind>([
  'accessory',
  'report',
  'photograph',
  'proof',
  'step',
  'absence',
  'busy-calendar',
  'template',
  'maker',
  'contact',
]);

interface EntryRow {
  kind: string;
  loanId: string | null;
  unitId: string | null;
  deletedBy: string | null;
}

@Injectable()
export class Bin {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /** The owner and the co-host see everything, others what they deleted themselves. */
  async view(by: SignedIn): Promise<BinView> {
    const { prisma } = this.config.database;
    const sealed = await sealedFrom(prisma, by.id);
    const rows = await prisma.binEntry.findMany({
      where: { restoredAt: null, kind: { in: [...binKinds] }, expiresAt: { gt: new Date() } },
      orderBy: [{ deletedAt: 'desc' }, { id: 'desc' }],
      omit: { contents: true },
      take: 1000,
    });
    return {
      mayPurge: by.role === 'owner',
      entries: rows
        .filter((row) => mayKnow(row, by, sealed))
        .map(({ id, kind, title, within, deletedByName, deletedAt, expiresAt }) => ({
          binId: id,
          kind: kind as BinKind,
          title,
          within,
          deletedBy: deletedByName,
          deletedAt: deletedAt.toISOString(),
          expiresAt: expiresAt.toISOString(),
        })),
    };
  }

  restore(id: string, by: SignedIn): Promise<PutBack> {
    return this.#change(id, by, (made) => restoreFromBin(made, id));
  }

  purge(id: string, by: SignedIn): Promise<void> {
    return this.#change(id, by, async (made) => {
      await purgeEntry(made, id);
      made.request('clear-old', `clear-old-${id}`, { asked: new Date().toISOString() });
    });
  }

  #change<T>(id: string, by: SignedIn, work: (made: Change) => Promise<T>): Promise<T> {
    return change(this.config.database, by, async (made) => {
      await insistMayKnow(made.tx, id, by);
      return work(made);
    });
  }
}

async function insistMayKnow(tx: Tx, id: string, by: SignedIn): Promise<void> {
  const row = await tx.binEntry.findUnique({ where: { id }, omit: { contents: true } });
  if (!row || !mayKnow(row, by, await sealedFrom(tx, by.id))) throw refuse.notFound('thing in the bin');
}

function mayKnow(row: EntryRow, by: SignedIn, sealed: Sealed): boolean {
  if (by.role === 'editor' && row.deletedBy !== by.id) return false;
  const about =
    (row.unitId !== null && sealed.units.has(row.unitId)) ||
    (row.loanId !== null && sealed.loans.has(row.loanId));
  return !about || plain.has(row.kind);
}
