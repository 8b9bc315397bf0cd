/** When backups are made by themselves, and how many stay. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { BackupPlanView } from '../contracts.js';
import { Button, CheckField, Refusal, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { parseNumber } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

export function BackupPlan({ plan }: { plan: BackupPlanView }) {
  const client = useQueryClient();
  const [nightly, setNightly] = useState(plan.nightly);
  const [at, setAt] = useState(plan.at);
  const [daily, setDaily] = useState(String(plan.keepDaily));
  const [weekly, setWeekly] = useState(String(plan.keepWeekly));
  const saving = useMutation({
    mutationFn: () =>
      api.changeBackupPlan({
        version: plan.version,
        nightly,
        at,
        keepDaily: parseNumber(daily) ?? 0,
        keepWeekly: parseNumber(weekly) ?? 0,
      }),
    onSuccess: (view) => {
      client.setQueryData(keys.backups, view);
      say({ tone: 'good', title: 'Kept', text: nightly ? `Every night at ${at}.` : 'None by themselves.' });
    },
    onError: () => client.invalidateQueries({ queryKey: keys.backups }),
  });
  const refusal = saving.error ? refusalOf(saving.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    saving.mutate();
  };
  return (
    <section className="section stack" aria-labelledby="by-themselves">
      <h2 id="by-themselves">By themselves</h2>
      <form className="form narrow" onSubmit={submit}>
        <div className="field-wide">
          <CheckField label="Every night" checked={nightly} onChange={setNightly} />
        </div>
        <TextField
          label="At"
          hint={`On the clock of the house (${plan.timeZone}). A night that was missed is made up for.`}
          type="time"
          required
          value={at}
          error={fieldMessage(refusal, 'at')}
          onChange={setAt}
        />
        <TextField
          label="Keep the last"
          inputMode="numeric"
          unit="days"
          value={daily}
          error={fieldMessage(refusal, 'keepDaily')}
          onChange={setDaily}
        />
        <TextField
          label="And one of each of the last"
          inputMode="numeric"
          unit="weeks"
          value={weekly}
          error={fieldMessage(refusal, 'keepWeekly')}
          onChange={setWeekly}
        />
        <p className="field-wide small soft">
          Those made by hand stay until you remove them; of those made before an upgrade the last three stay.
        </p>
        <div className="form-foot">
          <Button type="submit" look="main" busy={saving.isPending}>
            Save
          </Button>
        </div>
        <div className="field-wide">
          <Refusal marked error={saving.error} />
        </div>
      </form>
    </section>
  );
}
