/** The session was sealed on another device while something written here had not been sent: it can be added after. */
import { useMutation } from '@tanstack/react-query';
import { api } from '../api/api.js';
import type { ListeningView } from '../contracts.js';
import { Button, Notice, Refusal } from '../kit/index.js';
import { count } from '../words/numbers.js';
import { freshId } from './freshId.js';
import { dropKept, type KeptSession } from './keptSessions.js';
import { same } from './sessionDraft.js';

export function SealedMeanwhile(props: {
  kept: KeptSession;
  sealed: ListeningView | undefined;
  onEnded: () => Promise<void>;
}) {
  const { kept, sealed } = props;
  const missing = kept.draft.remarks.filter(
    (remark) => !(sealed?.remarks ?? []).some((known) => known.id === remark.id && same(known, remark)),
  );
  const adding = useMutation({
    mutationFn: async () => {
      for (const remark of missing) await api.addAfterSeal(kept.id, { id: freshId(), remark });
    },
    onSuccess: async () => {
      await dropKept(kept.id);
      await props.onEnded();
    },
  });
  return (
    <Notice tone="caution" title="This session was sealed on another device before this one could send.">
      {missing.length === 0 ? (
        <p>Its remarks are all in the sealed session.</p>
      ) : (
        <p>
          {count(missing.length, 'remark')} of this device {missing.length === 1 ? 'is' : 'are'} not in it.
          You can add {missing.length === 1 ? 'it' : 'them'} now, marked as made after the seal.
        </p>
      )}
      <div className="row">
        {missing.length > 0 && (
          <Button look="main" busy={adding.isPending} onPress={() => adding.mutate()}>
            Add after the seal
          </Button>
        )}
        <Button
          onPress={() => {
            void dropKept(kept.id).then(props.onEnded);
          }}
        >
          {missing.length > 0 ? 'Leave it out' : 'Good'}
        </Button>
      </div>
      <Refusal error={adding.error} />
    </Notice>
  );
}
