/** The end of a session: sealed, or its blindness given up. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { Button, Dialog, Refusal } from '../kit/index.js';
import { dropKept } from './keptSessions.js';
import type { WrittenSession } from './useKeptSession.js';

export function SessionEnd(props: { written: WrittenSession; blind: boolean; onEnded: () => Promise<void> }) {
  const { kept, state } = props.written;
  const [asking, setAsking] = useState<'seal' | 'give-up' | null>(null);
  const empty = kept.draft.remarks.length === 0 && kept.draft.words.trim() === '';
  return (
    <div className="stack session-end">
      <div className="row">
        <Button
          look="main"
          icon="lock"
          isDisabled={state !== 'sent' || empty}
          onPress={() => setAsking('seal')}
        >
          Seal the session
        </Button>
        {props.blind && (
          <Button look="quiet" isDisabled={state !== 'sent'} onPress={() => setAsking('give-up')}>
            Give up listening blind
          </Button>
        )}
        {empty && <span className="small soft">Write at least one remark first.</span>}
        {!empty && state !== 'sent' && (
          <span className="small soft">It can be sealed once everything is sent.</span>
        )}
      </div>
      {asking === 'seal' && <SealDialog {...props} onClose={() => setAsking(null)} />}
      {asking === 'give-up' && <GiveUpDialog {...props} onClose={() => setAsking(null)} />}
    </div>
  );
}

interface EndProps {
  readonly written: WrittenSession;
  readonly blind: boolean;
  readonly onEnded: () => Promise<void>;
  readonly onClose: () => void;
}

function SealDialog({ written, blind, onEnded, onClose }: EndProps) {
  const { id, version } = written.kept;
  const sealing = useMutation({
    mutationFn: () => api.sealListening(id, { version }),
    onSuccess: async () => {
      onClose();
      await dropKept(id);
      await onEnded();
    },
  });
  return (
    <Dialog title="Seal this session" open onClose={onClose}>
      <p>
        Sealed, its words are fingerprinted with the time and can’t be changed any more. What you add later is
        kept beside it and marked as added later.
      </p>
      <p>
        {blind
          ? 'You have not opened this unit’s data: it counts as blind. Its results open to you once it is sealed.'
          : 'You have opened this unit’s data: it does not count as blind.'}
      </p>
      <Refusal error={sealing.error} />
      <div className="row">
        <Button look="main" icon="lock" busy={sealing.isPending} onPress={() => sealing.mutate()}>
          Seal it
        </Button>
        <Button onPress={onClose}>Write on</Button>
      </div>
    </Dialog>
  );
}

function GiveUpDialog({ written, onEnded, onClose }: EndProps) {
  const giving = useMutation({
    mutationFn: () => api.giveUpBlindness(written.kept.id),
    onSuccess: async () => {
      onClose();
      await onEnded();
    },
  });
  return (
    <Dialog title="Give up listening blind" open onClose={onClose}>
      <p>
        The unit’s results open to you at once. That you gave it up, and when, is recorded; this session does
        not count as blind any more.
      </p>
      <Refusal error={giving.error} />
      <div className="row">
        <Button look="grave" busy={giving.isPending} onPress={() => giving.mutate()}>
          Give it up
        </Button>
        <Button onPress={onClose}>Stay blind</Button>
      </div>
    </Dialog>
  );
}
