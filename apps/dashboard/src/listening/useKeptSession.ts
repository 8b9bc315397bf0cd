/** A session that is being written on this page: kept at once, sent a moment later, and again until it is there. */
import { useCallback, useEffect, useRef, useState } from 'react';
import { changeKept, keptSession, onKept, type KeptSession } from './keptSessions.js';
import { isUnsent, sendKept, type SendOutcome } from './sendKept.js';
import type { SessionDraft } from './sessionDraft.js';

const SEND_AFTER_MS = 900;
const AGAIN_AFTER_MS = 5000;

export type KeptState = 'sent' | 'sending' | 'kept-here' | 'refused' | 'sealed' | 'not-kept';

export interface WrittenSession {
  readonly kept: KeptSession;
  readonly state: KeptState;
  readonly change: (work: (draft: SessionDraft) => SessionDraft) => void;
  readonly forgetClashes: () => void;
}

/** @returns undefined while it is read from the device, null when the device has no such session */
export function useKeptSession(id: string, onSent?: () => void): WrittenSession | null | undefined {
  const [kept, setKept] = useState<KeptSession | null>();
  const [outcome, setOutcome] = useState<SendOutcome | 'sending'>('sent');
  const [lost, setLost] = useState(false);
  const told = useRef(onSent);
  useEffect(() => {
    told.current = onSent;
  });

  useEffect(() => {
    // What is shown here may be ahead of what the device has finished writing: only what is newer is taken.
    const read = () =>
      void keptSession(id).then((found) =>
        setKept((was) => (found && was && found.write < was.write ? was : (found ?? null))),
      );
    read();
    return onKept((changed) => {
      if (changed === id) read();
    });
  }, [id]);

  const unsent = kept ? isUnsent(kept) && !kept.sealedMeanwhile : false;
  // Changes with every change, so that what is typed quickly is sent once.
  const unsentWrite = unsent ? (kept?.write ?? 0) : 0;
  useEffect(() => {
    if (unsentWrite === 0) return undefined;
    let over = false;
    const send = () => {
      setOutcome('sending');
      void sendKept(id).then((ended) => {
        if (over) return;
        setOutcome(ended);
        if (ended === 'sent') told.current?.();
      });
    };
    const first = setTimeout(send, SEND_AFTER_MS);
    const again = setInterval(send, AGAIN_AFTER_MS);
    window.addEventListener('online', send);
    return () => {
      over = true;
      clearTimeout(first);
      clearInterval(again);
      window.removeEventListener('online', send);
    };
  }, [id, unsentWrite]);

  const change = useCallback(
    (work: (draft: SessionDraft) => SessionDraft) => {
      const next = (was: KeptSession): KeptSession => ({
        ...was,
        draft: work(was.draft),
        write: was.write + 1,
      });
      // Shown at once; what the device says afterwards counts.
      setKept((was) => was && next(was));
      changeKept(id, next).then(
        () => setLost(false),
        (error: unknown) => {
          console.info('This device keeps nothing:', error);
          setLost(true);
        },
      );
    },
    [id],
  );
  const forgetClashes = useCallback(() => void changeKept(id, (was) => ({ ...was, clashes: [] })), [id]);
  if (!kept) return kept;
  return { kept, state: lost ? 'not-kept' : stateOf(kept, unsent, outcome), change, forgetClashes };
}

function stateOf(kept: KeptSession, unsent: boolean, outcome: SendOutcome | 'sending'): KeptState {
  if (kept.sealedMeanwhile) return 'sealed';
  if (!unsent) return 'sent';
  if (kept.refused !== undefined) return 'refused';
  return outcome === 'sending' && navigator.onLine ? 'sending' : 'kept-here';
}
