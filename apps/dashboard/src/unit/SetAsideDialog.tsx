/** A set that was measured again stays, but no longer counts. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { SetView } from '../contracts.js';
import { Button, Dialog, Refusal, TextArea } from '../kit/index.js';

export function SetAsideDialog(props: { set: SetView; onClose: () => void; onChanged: () => Promise<void> }) {
  const { set } = props;
  const [why, setWhy] = useState('');
  const back = set.setAsideWhy !== null;
  const changing = useMutation({
    mutationFn: () => api.changeSet(set.id, { version: set.version, setAsideWhy: back ? null : why.trim() }),
    onSuccess: async () => {
      await props.onChanged();
      props.onClose();
    },
  });
  return (
    <Dialog
      title={back ? `Count “${set.name}” again` : `Set “${set.name}” aside`}
      open
      onClose={props.onClose}
    >
      {back ? (
        <p>Its data and its findings count for the plan again.</p>
      ) : (
        <>
          <p>Its files and results are kept; its data and its findings no longer count for the plan.</p>
          <TextArea
            label="Why"
            hint="For instance: measured again with the grille off."
            required
            value={why}
            onChange={setWhy}
          />
        </>
      )}
      <Refusal error={changing.error} />
      <div className="row">
        <Button
          look="main"
          busy={changing.isPending}
          isDisabled={!back && why.trim().length < 5}
          onPress={() => changing.mutate()}
        >
          {back ? 'Count it again' : 'Set it aside'}
        </Button>
        <Button onPress={props.onClose}>Leave it</Button>
      </div>
    </Dialog>
  );
}
