/**
 * Sessions on this device: every change is here before it is anywhere else. Changes are applied one after the other
 * whichever window they come from, and every window hears of them.
 */
import { createStore, entries, get, update, del, set } from 'idb-keyval';
import type { SessionDraft } from './sessionDraft.js';

export interface KeptSession {
  readonly id: string;
  readonly unitId: string;
  readonly unitName: string;
  readonly accountId: string;
  readonly accountName: string;
  readonly begunAt: string;
  /** Sessions are told apart by device, so that what this one sends again is known. */
  readonly device: string;
  /** Counts the changes made here; those up to `sent` are on the server. */
  readonly write: number;
  readonly sent: number;
  /** The server's version this was written on; 0 while the server does not know the session. */
  readonly version: number;
  readonly base: SessionDraft | null;
  readonly draft: SessionDraft;
  /** What another device had changed too: both are kept. */
  readonly clashes: readonly string[];
  /** Why the server does not take it, in its words. */
  readonly refused?: string;
  /** It was sealed from elsewhere while something here was not sent. */
  readonly sealedMeanwhile?: boolean;
}

const store = createStore('sojourn-listening', 'sessions');
const channel =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('sojourn-listening');
const listeners = new Set<(id: string) => void>();
channel?.addEventListener('message', (event: MessageEvent<string>) => tell(event.data));

function tell(id: string): void {
  for (const listener of listeners) listener(id);
}
function tellAll(id: string): void {
  tell(id);
  // A channel has no origin to name: it reaches this origin's windows only.
  // oxlint-disable-next-line unicorn/require-post-message-target-origin
  channel?.postMessage(id);
}

/** @returns the way to stop hearing */
export function onKept(listener: (id: string) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export const keptSession = (id: string): Promise<KeptSession | undefined> => get<KeptSession>(id, store);

export async function allKept(accountId?: string): Promise<KeptSession[]> {
  const all = await entries<string, KeptSession>(store);
  return all
    .map(([, kept]) => kept)
    .filter((kept) => accountId === undefined || kept.accountId === accountId);
}

export async function beginKept(session: KeptSession): Promise<void> {
  await set(session.id, session, store);
  tellAll(session.id);
}

/** @returns the session as it stands afterwards; undefined when it is not kept here (any more) */
export async function changeKept(
  id: string,
  work: (kept: KeptSession) => KeptSession,
): Promise<KeptSession | undefined> {
  let after: KeptSession | undefined;
  await update<KeptSession | undefined>(
    id,
    (kept) => {
      after = kept && work(kept);
      return after;
    },
    store,
  );
  if (after === undefined) await del(id, store);
  tellAll(id);
  return after;
}

export async function dropKept(id: string): Promise<void> {
  await del(id, store);
  tellAll(id);
}
