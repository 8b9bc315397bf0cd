/** Title, note of what a correction changes, now or at the embargo's end; the owner may go against what is open. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { LoanPublicationView } from '../contracts.js';
import { Button, ChoiceField, Refusal, TextArea, TextField } from '../kit/index.js';

type When = 'now' | 'at-embargo-end';

export function PublishForm({ found }: { found: LoanPublicationView }) {
  const client = useQueryClient();
  const open = found.conditions.filter((condition) => !condition.met);
  const embargoed = open.some(({ code }) => code === 'embargo-over');
  const [title, setTitle] = useState(found.suggestedTitle);
  const [changeNote, setChangeNote] = useState('');
  const [when, setWhen] = useState<When>(embargoed ? 'at-embargo-end' : 'now');
  const [reason, setReason] = useState('');
  const waits = embargoed && when === 'at-embargo-end';
  const against = open.filter(({ code }) => !(waits && code === 'embargo-over'));
  const never = against.some(({ code }) => code === 'review-written');
  const publishing = useMutation({
    mutationFn: () =>
      api.publish(found.loanId, {
        version: found.loanVersion,
        title,
        changeNote,
        when: waits ? 'at-embargo-end' : 'now',
        ...(against.length > 0 ? { overrideReason: reason.trim() } : {}),
      }),
    onSuccess: (now) => client.setQueryData(keys.publication(found.loanId), now),
    onError: () => void client.invalidateQueries({ queryKey: keys.publication(found.loanId) }),
  });
  const blocked = against.length > 0 && (never || !found.mayOverride || reason.trim().length < 10);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (!blocked) publishing.mutate();
  };
  return (
    <form className="stack" onSubmit={submit}>
      <TextField label="Title for readers" required value={title} onChange={setTitle} />
      {found.correction && (
        <TextArea
          label="What this version corrects"
          required
          value={changeNote}
          onChange={setChangeNote}
          hint="Readers see it. Earlier versions stay reachable, marked as superseded."
        />
      )}
      {embargoed && (
        <ChoiceField
          label="When"
          value={when}
          options={[
            { value: 'at-embargo-end', words: 'By itself when the embargo ends' },
            { value: 'now', words: 'Now' },
          ]}
          onChange={setWhen}
        />
      )}
      {against.length > 0 && found.mayOverride && !never && (
        <TextArea
          label="Why it goes out against what is open"
          required
          value={reason}
          onChange={setReason}
          hint="A sentence. It stands in the history beside your name."
        />
      )}
      {against.length > 0 && !found.mayOverride && !never && (
        <p className="small soft">Only the owner may publish against what is open above.</p>
      )}
      <Refusal error={publishing.error} />
      <div>
        <Button type="submit" look="main" isDisabled={blocked} busy={publishing.isPending}>
          {waits ? 'Publish when the embargo ends' : found.correction ? 'Publish the correction' : 'Publish'}
        </Button>
      </div>
    </form>
  );
}
