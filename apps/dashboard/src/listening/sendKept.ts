/** Sends what is kept on this device, as often as it takes: the server knows what it has had before. */
import { api } from '../api/api.js';
import type { ListeningView } from '../contracts.js';
import { isStatus, refusalOf } from '../words/refusals.js';
import { allKept, changeKept, keptSession, type KeptSession } from './keptSessions.js';
import { draftOf, mergeDrafts } from './sessionDraft.js';

export type SendOutcome = 'sent' | 'no-network' | 'refused' | 'sealed' | 'signed-out';

const sending = new Map<string, Promise<SendOutcome>>();

/** One send of a session at a time; asked meanwhile, it goes on until everything is there. */
export function sendKept(id: string): Promise<SendOutcome> {
  const running = sending.get(id);
  if (running) return running;
  const work = sendAll(id).finally(() => sending.delete(id));
  sending.set(id, work);
  return work;
}

export async function sendEveryKept(accountId: string): Promise<void> {
  for (const kept of await allKept(accountId)) if (isUnsent(kept)) await sendKept(kept.id);
}

export const isUnsent = (kept: KeptSession): boolean => kept.write > kept.sent;

async function sendAll(id: string): Promise<SendOutcome> {
  for (;;) {
    const kept = await keptSession(id);
    if (!kept || !isUnsent(kept)) return 'sent';
    const outcome = await sendOnce(kept);
    if (outcome !== 'again') return outcome;
  }
}

async function sendOnce(kept: KeptSession): Promise<SendOutcome | 'again'> {
  const { id, unitId, version, device, write, begunAt, draft } = kept;
  try {
    const view = await api.keepListening(id, {
      ...draft,
      remarks: [...draft.remarks],
      unitId,
      version,
      device,
      write,
      begunAt,
    });
    await changeKept(id, (now) => wasSent(now, kept, view));
    return 'again';
  } catch (error) {
    if (error instanceof TypeError) return 'no-network';
    if (isStatus(error, 401)) return 'signed-out';
    const refusal = refusalOf(error);
    if (isStatus(error, 409)) {
      await changeKept(id, (now) => withTheirs(now, refusal.conflict?.current as ListeningView));
      return 'again';
    }
    const sealed = refusal.code === 'sealed';
    await changeKept(id, (now) =>
      sealed ? { ...now, sealedMeanwhile: true } : { ...now, refused: refusal.message },
    );
    return sealed ? 'sealed' : 'refused';
  }
}

function wasSent(now: KeptSession, sent: KeptSession, view: ListeningView): KeptSession {
  const { refused: _refused, ...rest } = now;
  return { ...rest, sent: Math.max(now.sent, sent.write), version: view.version, base: sent.draft };
}

function withTheirs(now: KeptSession, current: ListeningView): KeptSession {
  const theirs = draftOf(current);
  const { draft, clashes } = mergeDrafts(now.base, now.draft, theirs);
  return {
    ...now,
    draft,
    base: theirs,
    version: current.version,
    write: now.write + 1,
    clashes: [...now.clashes, ...clashes],
  };
}
