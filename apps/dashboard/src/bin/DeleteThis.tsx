/** Deleting something with all that belongs to it: said before the act, taken back for a month after it. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import type { Binned } from '../contracts.js';
import { Button, Dialog, Refusal } from '../kit/index.js';

export function DeleteThis(props: {
  /** Such as “this loan”. */
  what: string;
  /** Its name, for those who hear the button read aloud. */
  name: string;
  /** What goes with it, in a sentence. */
  goesWith: string;
  send: () => Promise<Binned>;
  onDeleted: () => void;
}) {
  const [asking, setAsking] = useState(false);
  const deleting = useMutation({
    mutationFn: props.send,
    onSuccess: () => {
      setAsking(false);
      props.onDeleted();
    },
  });
  return (
    <>
      <Button look="quiet" onPress={() => setAsking(true)}>
        Delete<span className="hidden"> {props.name}</span>…
      </Button>
      <Dialog title={`Delete ${props.what}?`} open={asking} onClose={() => setAsking(false)}>
        <p>
          <strong>{props.name}</strong>: {props.goesWith}
        </p>
        <p className="soft">It lies in the bin for 30 days and can be put back as it was.</p>
        <Refusal error={deleting.error} />
        <div className="form-foot">
          <Button look="grave" busy={deleting.isPending} onPress={() => deleting.mutate()}>
            Delete {props.what}
          </Button>
          <Button onPress={() => setAsking(false)}>Keep it</Button>
        </div>
      </Dialog>
    </>
  );
}
