/** What was deleted in the last 30 days: put back by one press, or by the owner’s typed word gone for good. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { binKindWords, PURGE_WORDS, type BinEntryView } from '../contracts.js';
import { Answer, Button, Dialog, Instant, PageHead, Refusal, TextField, useNow } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count } from '../words/numbers.js';

const Day = 24 * 3600_000;

export function BinPage() {
  const bin = useQuery(queries.bin());
  return (
    <>
      <PageHead
        title="Bin"
        beneath="What was deleted stays here for 30 days. What a published review rests on is never deleted."
      />
      <Answer query={bin} what="the bin">
        {({ entries, mayPurge }) =>
          entries.length === 0 ? (
            <p>Nothing was deleted lately.</p>
          ) : (
            <ul className="lines">
              {entries.map((entry) => (
                <BinLine key={entry.binId} entry={entry} mayPurge={mayPurge} />
              ))}
            </ul>
          )
        }
      </Answer>
    </>
  );
}

function BinLine({ entry, mayPurge }: { entry: BinEntryView; mayPurge: boolean }) {
  const client = useQueryClient();
  const [asking, setAsking] = useState(false);
  const now = useNow();
  const daysLeft = Math.max(0, Math.ceil((new Date(entry.expiresAt).getTime() - now.getTime()) / Day));
  const name = nameOf(entry);
  const restoring = useMutation({
    mutationFn: () => api.putBack(entry.binId),
    onSuccess: ({ note }) =>
      say({
        tone: note === '' ? 'good' : 'risk',
        title: 'Put back',
        text: note || `${name} is where it was.`,
      }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.bin }),
  });
  return (
    <li className="row apart">
      <div>
        <strong>{name}</strong>
        {entry.within !== '' && <span className="soft"> of {entry.within}</span>}
        <div className="small soft">
          {entry.deletedBy}, <Instant at={entry.deletedAt} />;{' '}
          {daysLeft === 0 ? 'goes today' : `${count(daysLeft, 'day')} left`}
        </div>
        <Refusal error={restoring.error} />
      </div>
      <span className="row">
        <Button busy={restoring.isPending} onPress={() => restoring.mutate()}>
          Put back<span className="hidden"> {name}</span>
        </Button>
        {mayPurge && (
          <Button look="quiet" onPress={() => setAsking(true)}>
            Delete for good<span className="hidden">: {name}</span>…
          </Button>
        )}
      </span>
      {asking && <ForGood entry={entry} name={name} onClose={() => setAsking(false)} />}
    </li>
  );
}

function ForGood(props: { entry: BinEntryView; name: string; onClose: () => void }) {
  const client = useQueryClient();
  const [typed, setTyped] = useState('');
  const purging = useMutation({
    mutationFn: () => api.deleteForGood(props.entry.binId, typed.trim()),
    onSuccess: props.onClose,
    onSettled: () => client.invalidateQueries({ queryKey: keys.bin }),
  });
  return (
    <Dialog title="Delete for good?" open onClose={props.onClose} keepOnOutsidePress={typed !== ''}>
      <p>
        <strong>{props.name}</strong> is gone afterwards, with its files. Backups hold it until they are
        removed in their turn. This can’t be undone.
      </p>
      <TextField label={`Type “${PURGE_WORDS}”`} required value={typed} onChange={setTyped} />
      <Refusal error={purging.error} />
      <div className="form-foot">
        <Button
          look="grave"
          busy={purging.isPending}
          isDisabled={typed.trim() !== PURGE_WORDS}
          onPress={() => purging.mutate()}
        >
          Delete for good
        </Button>
        <Button onPress={props.onClose}>Keep it in the bin</Button>
      </div>
    </Dialog>
  );
}

/** “The loan Heron 3” at the start of a line. */
function nameOf({ kind, title }: BinEntryView): string {
  const words = `${binKindWords[kind]} ${title}`;
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
}
