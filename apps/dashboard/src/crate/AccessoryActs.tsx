/** What else can be done with a thing on the checklist: settle that it is lost, or strike it off. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { AccessoryView, Moment } from '../contracts.js';
import { Button, Dialog, Instant, Refusal, TextField } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';

export function AccessoryActs(props: {
  item: AccessoryView;
  moment: Moment;
  loanId: string;
  short: boolean;
}) {
  const { item, moment } = props;
  const refresh = useRefreshLoan(props.loanId);
  const [asking, setAsking] = useState<'loss' | 'removal' | null>(null);
  const leave = () => setAsking(null);
  const done = async () => {
    leave();
    await refresh();
  };
  return (
    <div className="row accessory-acts small">
      {moment === 'return' && item.lossToldAt && (
        <span className="soft">
          The maker was told <Instant at={item.lossToldAt} />
        </span>
      )}
      {moment === 'return' && props.short && !item.lossToldAt && (
        <Button look="quiet" onPress={() => setAsking('loss')}>
          It does not come back…
        </Button>
      )}
      {moment === 'arrival' && (
        <Button
          look="quiet"
          aria-label={`Strike ${item.name} off the list`}
          onPress={() => setAsking('removal')}
        >
          Strike off…
        </Button>
      )}
      {asking === 'loss' && <Loss item={item} onDone={done} onLeave={leave} />}
      {asking === 'removal' && <Removal item={item} onDone={done} onLeave={leave} />}
    </div>
  );
}

interface AskProps {
  readonly item: AccessoryView;
  readonly onDone: () => Promise<void>;
  readonly onLeave: () => void;
}

function Loss({ item, onDone, onLeave }: AskProps) {
  const [note, setNote] = useState(item.returnNote);
  const telling = useMutation({
    mutationFn: () =>
      api.changeAccessory(item.id, { version: item.version, returnNote: note.trim(), lossTold: true }),
    onSuccess: onDone,
  });
  return (
    <Dialog title={`${item.name} does not come back`} open onClose={onLeave} keepOnOutsidePress={note !== ''}>
      <p>Tell the maker first. With the note it counts as settled, and the crate may go without it.</p>
      <TextField label="What became of it, and what was agreed" required value={note} onChange={setNote} />
      <Refusal error={telling.error} />
      <div className="row">
        <Button
          look="main"
          busy={telling.isPending}
          isDisabled={note.trim() === ''}
          onPress={() => telling.mutate()}
        >
          The maker has been told
        </Button>
        <Button onPress={onLeave}>Not yet</Button>
      </div>
    </Dialog>
  );
}

function Removal({ item, onDone, onLeave }: AskProps) {
  const [why, setWhy] = useState('');
  const removing = useMutation({
    mutationFn: () => api.removeAccessory(item.id, { version: item.version, why: why.trim() }),
    onSuccess: onDone,
  });
  return (
    <Dialog title={`Strike ${item.name} off the list`} open onClose={onLeave} keepOnOutsidePress={why !== ''}>
      <p>It is no longer counted on the way in or out. The history keeps it with your reason.</p>
      <TextField label="Why" required value={why} onChange={setWhy} />
      <Refusal error={removing.error} />
      <div className="row">
        <Button
          look="grave"
          busy={removing.isPending}
          isDisabled={why.trim().length < 5}
          onPress={() => removing.mutate()}
        >
          Strike it off
        </Button>
        <Button onPress={onLeave}>Keep it</Button>
      </div>
    </Dialog>
  );
}
