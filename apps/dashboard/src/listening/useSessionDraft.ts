/** A listening session being written: kept on the device at once, sent a moment later, and again when the network is back. */
import { useEffect, useMemo, useRef, useState } from 'react';
import { api } from '../api/api.js';
import type { ListeningView } from '../contracts.js';
import { LatestOnly } from '../crate/LatestOnly.js';
import { refusalOf } from '../words/refusals.js';
import { dropDraft, keepDraft, keptDraft, type SessionDraft } from './keptDraft.js';

const SEND_AFTER_MS = 1200;
export type DraftState = 'sent' | 'unsent' | 'sending' | 'waiting' | 'refused';

export function useSessionDraft(session: ListeningView) {
  const [draft, setDraft] = useState<SessionDraft>(() => keptDraft(session.id) ?? draftOf(session));
  const [state, setState] = useState<DraftState>(() => (keptDraft(session.id) ? 'unsent' : 'sent'));
  const [why, setWhy] = useState('');
  const [version, setVersion] = useState(session.version);
  const newest = useRef(draft);
  const saver = useMemo(
    () =>
      new LatestOnly<SessionDraft, ListeningView>({
        version: session.version,
        send: (next, at) =>
          api.changeListening(session.id, { ...next, remarks: [...next.remarks], version: at }),
        done: (kept) => {
          setVersion(kept.version);
          dropDraft(session.id);
          setState('sent');
        },
        failed: (error) => {
          const lost = error instanceof TypeError;
          setState(lost ? 'waiting' : 'refused');
          setWhy(refusalOf(error).message);
        },
      }),
    // One writer for the session's life on this page.
    // oxlint-disable-next-line react/exhaustive-deps
    [session.id],
  );

  useEffect(() => {
    if (state !== 'unsent' && state !== 'waiting') return undefined;
    const send = () => {
      setState('sending');
      void saver.put(newest.current);
    };
    const timer = setTimeout(send, state === 'waiting' ? 10_000 : SEND_AFTER_MS);
    window.addEventListener('online', send);
    return () => {
      clearTimeout(timer);
      window.removeEventListener('online', send);
    };
  }, [state, draft, saver]);

  const change = (part: Partial<SessionDraft>) => {
    const next = { ...newest.current, ...part };
    newest.current = next;
    keepDraft(session.id, next);
    setDraft(next);
    setState('unsent');
  };
  return { draft, change, state, why, version };
}

function draftOf(session: ListeningView): SessionDraft {
  const { heardOn, placement, levelDb, remarks } = session;
  return { heardOn, placement, levelDb, remarks };
}
