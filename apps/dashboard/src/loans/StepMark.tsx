/** How a step went, said by a person: under way, done, passed over; and what it really took. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { useHere } from '../app/session.js';
import type { StepView } from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { Button, ChoiceField, Dialog, Overtaken, Refusal, TextArea, TextField } from '../kit/index.js';
import { fromHouseField, toHouseField } from '../words/houseClock.js';
import { minutesWords, parseNumber } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

type Said = 'open' | 'running' | 'done' | 'skipped';
const words: Readonly<Record<Said, string>> = {
  open: 'Not begun',
  running: 'Under way',
  done: 'Done',
  skipped: 'Passed over',
};
const choices = (Object.keys(words) as Said[]).map((value) => ({ value, words: words[value] }));

interface Draft {
  readonly state: Said;
  readonly startedAt: string;
  readonly finishedAt: string;
  readonly minutes: string;
  readonly note: string;
}

const saidOf = (step: StepView): Said =>
  step.state === 'done' || step.state === 'running' || step.state === 'skipped' ? step.state : 'open';

function draftOf(step: StepView, zone: string): Draft {
  return {
    state: saidOf(step),
    startedAt: toHouseField(step.startedAt, zone),
    finishedAt: toHouseField(step.finishedAt, zone),
    minutes: step.minutes === null ? '' : String(Math.round(step.minutes)),
    note: step.note,
  };
}

/** A step's record in a few words, for two versions side by side. */
function recordWords(state: Said, minutes: number | null, note: string): string {
  const took = minutes === null ? '' : `, took ${minutesWords(minutes)}`;
  return `${words[state]}${took}${note === '' ? '' : `: “${note}”`}`;
}

export function StepMark(props: { loanId: string; step: StepView; onClose: () => void }) {
  const { loanId, step, onClose } = props;
  const zone = useHere().session.timeZone ?? 'UTC';
  const client = useQueryClient();
  const [base] = useState(step.version);
  const [draft, setDraft] = useState(() => draftOf(step, zone));
  const set = (part: Partial<Draft>) => setDraft((was) => ({ ...was, ...part }));
  const minutes = parseNumber(draft.minutes);
  const refresh = async () => {
    await client.invalidateQueries({ queryKey: keys.loan(loanId) });
    for (const key of [keys.plan, keys.dashboard, keys.estimates])
      void client.invalidateQueries({ queryKey: key });
  };
  const saving = useMutation({
    mutationFn: (version: number) =>
      api.markStep(loanId, step.stepId, { version, ...asked(draft, minutes, zone) }),
    onSuccess: async () => {
      await refresh();
      onClose();
    },
    onError: (error) => (isStale(error) ? refresh() : undefined),
  });
  const stale = isStale(saving.error);
  const refusal = saving.error && !stale ? refusalOf(saving.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (!Number.isNaN(minutes)) saving.mutate(base);
  };
  return (
    <Dialog title={step.label} open onClose={onClose} keepOnOutsidePress>
      {step.derived && (
        <p className="small soft">
          So far this was read off the data and the stage of the loan; what you say here stands instead.
        </p>
      )}
      <form className="stack" onSubmit={submit}>
        <ChoiceField
          label="How it stands"
          value={draft.state}
          options={choices}
          onChange={(state) => set({ state })}
        />
        <MarkTimes
          draft={draft}
          set={set}
          wrongMinutes={Number.isNaN(minutes) ? 'Write a number of minutes, such as 90.' : undefined}
          wrong={(path) => fieldMessage(refusal, path)}
        />
        <TextArea label="Note" rows={2} value={draft.note} onChange={(note) => set({ note })} />
        {stale ? (
          <Overtaken
            what="this step"
            theirs={recordWords(saidOf(step), step.minutes, step.note)}
            mine={recordWords(draft.state, Number.isNaN(minutes) ? null : minutes, draft.note)}
            busy={saving.isPending}
            onTheirs={onClose}
            onMine={() => saving.mutate(step.version)}
          />
        ) : (
          <div className="row">
            <Button type="submit" look="main" busy={saving.isPending}>
              Save
            </Button>
            <Button onPress={onClose}>Leave as it was</Button>
          </div>
        )}
        <Refusal marked error={stale ? null : saving.error} />
      </form>
    </Dialog>
  );
}

function MarkTimes(props: {
  draft: Draft;
  set: (part: Partial<Draft>) => void;
  wrongMinutes: string | undefined;
  wrong: (path: string) => string | undefined;
}) {
  const { draft, set } = props;
  if (draft.state !== 'running' && draft.state !== 'done') return null;
  return (
    <div className="form">
      <TextField
        label="Began"
        type="datetime-local"
        value={draft.startedAt}
        error={props.wrong('startedAt')}
        hint={draft.state === 'running' ? 'Left empty: just now.' : 'Left empty: with its first booking.'}
        onChange={(startedAt) => set({ startedAt })}
      />
      {draft.state === 'done' && (
        <>
          <TextField
            label="Finished"
            type="datetime-local"
            value={draft.finishedAt}
            error={props.wrong('finishedAt')}
            hint="Left empty: just now."
            onChange={(finishedAt) => set({ finishedAt })}
          />
          <TextField
            label="Work it really took"
            unit="min"
            inputMode="numeric"
            value={draft.minutes}
            error={props.wrongMinutes ?? props.wrong('minutes')}
            hint="Left empty: the bookings that took place are counted. The team’s estimates learn from it."
            onChange={(minutes) => set({ minutes })}
          />
        </>
      )}
    </div>
  );
}

function asked({ state, startedAt, finishedAt, note }: Draft, minutes: number | null, zone: string) {
  const timed = state === 'running' || state === 'done';
  return {
    state,
    note,
    startedAt: timed ? fromHouseField(startedAt, zone) : null,
    finishedAt: state === 'done' ? fromHouseField(finishedAt, zone) : null,
    minutes: state === 'done' ? minutes : null,
  };
}
