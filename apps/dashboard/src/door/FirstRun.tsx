/** The first page of a new installation: the owner's account, or the invented demo. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { SessionState } from '../contracts.js';
import { Button, CheckField, Refusal, TextField } from '../kit/index.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';
import { Door } from './Door.js';
import { timeZones } from './timeZones.js';

export function FirstRun({ session }: { session: SessionState }) {
  const client = useQueryClient();
  const [draft, setDraft] = useState({
    teamName: '',
    timeZone: new Intl.DateTimeFormat().resolvedOptions().timeZone,
    name: '',
    email: '',
    password: '',
    setupCode: '',
    demo: false,
  });
  const set = (part: Partial<typeof draft>) => setDraft((was) => ({ ...was, ...part }));
  const setUp = useMutation({
    mutationFn: () => {
      const { setupCode, ...rest } = draft;
      return api.setUp(setupCode === '' ? rest : { ...rest, setupCode });
    },
    onSuccess: (state) => client.setQueryData(keys.session, state),
  });
  const refusal = setUp.error ? refusalOf(setUp.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setUp.mutate();
  };
  return (
    <Door
      title="A new house for borrowed loudspeakers"
      lead="Nobody has an account here yet. The first one owns the installation and can invite the others."
    >
      <form className="form" onSubmit={submit}>
        {session.setupCodeNeeded && (
          <TextField
            wide
            label="Set-up code"
            hint="It was printed where the server was started, so that only whoever runs it can take this step."
            required
            value={draft.setupCode}
            error={fieldMessage(refusal, 'setupCode')}
            onChange={(setupCode) => set({ setupCode })}
          />
        )}
        <TextField
          wide
          label="Your team’s name"
          focusFirst
          required
          value={draft.teamName}
          error={fieldMessage(refusal, 'teamName')}
          onChange={(teamName) => set({ teamName })}
        />
        <TextField
          wide
          label="The team’s time zone"
          hint="Return dates and quiet hours count here."
          required
          list={timeZones()}
          value={draft.timeZone}
          error={fieldMessage(refusal, 'timeZone')}
          onChange={(timeZone) => set({ timeZone })}
        />
        <TextField
          label="Your name"
          autoComplete="name"
          required
          value={draft.name}
          error={fieldMessage(refusal, 'name')}
          onChange={(name) => set({ name })}
        />
        <TextField
          label="Your e-mail"
          type="email"
          autoComplete="username"
          required
          value={draft.email}
          error={fieldMessage(refusal, 'email')}
          onChange={(email) => set({ email })}
        />
        <TextField
          wide
          label="A password"
          type="password"
          autoComplete="new-password"
          hint="At least 12 characters; a few unrelated words work well."
          required
          value={draft.password}
          error={fieldMessage(refusal, 'password')}
          onChange={(password) => set({ password })}
        />
        <div className="field-wide">
          <CheckField
            label="Open the invented demo"
            hint="An invented team with invented makers, loans and measurements made from physics, to look around in. Leave it off to start empty."
            checked={draft.demo}
            onChange={(demo) => set({ demo })}
          />
        </div>
        <div className="form-foot">
          <Button type="submit" look="main" busy={setUp.isPending}>
            {draft.demo ? 'Create the account and the demo' : 'Create the account'}
          </Button>
        </div>
        <div className="field-wide">
          <Refusal marked error={setUp.error} />
        </div>
      </form>
    </Door>
  );
}
