/** How listening sessions are loaded and said. */
import type { ListeningAdditionView, ListeningView, Remark } from '../../../libs/contracts/index.js';
import { dayOf, instantOf, type Tx } from '../../../libs/store/index.js';

const include = {
  listener: { select: { name: true } },
  additions: { orderBy: { createdAt: 'asc' } },
} as const;

export const loadListening = (tx: Tx, where: Record<string, unknown>) =>
  tx.listeningSession.findMany({ where, orderBy: [{ createdAt: 'asc' }, { id: 'asc' }], include });
export type ListeningRow = Awaited<ReturnType<typeof loadListening>>[number];

export function presentListening(session: ListeningRow): ListeningView {
  return {
    id: session.id,
    unitId: session.unitId,
    by: session.listener.name,
    byId: session.listenerId,
    heardOn: dayOf(session.heardOn),
    placement: session.placement,
    levelDb: session.levelDb,
    sources: session.sources,
    words: session.words,
    remarks: session.remarks as unknown as Remark[],
    begunAt: (session.begunAt ?? session.createdAt).toISOString(),
    sealedAt: instantOf(session.sealedAt),
    sealHash: session.sealHash,
    blind: session.sealedAt === null ? isBlindSoFar(session) : session.blind,
    givenUpAt: instantOf(session.givenUpAt),
    additions: session.additions.map(presentAddition),
    sealedForYou: false,
    version: session.version,
  };
}

export const isBlindSoFar = (session: { begunBlind: boolean; givenUpAt: Date | null }): boolean =>
  session.begunBlind && session.givenUpAt === null;

export const presentAddition = (addition: {
  id: string;
  remark: unknown;
  createdAt: Date;
}): ListeningAdditionView => ({
  id: addition.id,
  remark: addition.remark as Remark,
  at: addition.createdAt.toISOString(),
});
