/** One step of the work on a kind of unit, to change, add or take out. */
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { HouseView, StepTemplate, TemplateView } from '../contracts.js';
import { Button, CheckField, Dialog, Overtaken, Refusal, SelectField, TextField } from '../kit/index.js';
import { laneName } from '../plan/weekLayout.js';
import { minutesWords } from '../words/numbers.js';
import { draftStep, stepDraft, stepKindOf, type StepDraft, type StepWrong } from './stepDraft.js';
import { useHouseSave } from './useHouseSave.js';

const stepWords = (step: StepTemplate | null | undefined): string =>
  step ? `${step.label}, ${minutesWords(step.minutes)}` : 'taken out';

export function StepForm(props: {
  /** Null: a new one. */
  step: StepTemplate | null;
  template: TemplateView;
  house: HouseView;
  median: number | undefined;
  onClose: () => void;
}) {
  const { template, house, onClose } = props;
  const [base] = useState(template.version);
  const [was] = useState(props.step);
  const [draft, setDraft] = useState(() => stepDraft(was));
  const set = (part: Partial<StepDraft>) => setDraft((now) => ({ ...now, ...part }));
  const kind = was?.kind ?? stepKindOf(draft.label, template.steps);
  const { step, wrong } = draftStep(draft, kind, was);
  const [last, setLast] = useState<StepTemplate | null>(null);
  const saving = useHouseSave((ask: { version: number; next: StepTemplate | null }) => {
    setLast(ask.next);
    return api.changeTemplate(template.kind, {
      version: ask.version,
      steps: withStep(template.steps, kind, ask.next),
    });
  }, onClose);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (step) saving.mutate({ version: base, next: step });
  };
  return (
    <Dialog title={was ? was.label : 'Add a step'} open wide keepOnOutsidePress onClose={onClose}>
      <form className="stack" onSubmit={submit}>
        <StepFields draft={draft} set={set} wrong={wrong} house={house} median={props.median} />
        <StepChecks draft={draft} set={set} />
        <WaitsFor draft={draft} set={set} others={template.steps.filter((one) => one.kind !== kind)} />
        {saving.stale ? (
          <Overtaken
            what="the work on this kind of unit"
            theirs={stepWords(template.steps.find((one) => one.kind === kind))}
            mine={stepWords(last)}
            busy={saving.isPending}
            onTheirs={onClose}
            onMine={() => saving.mutate({ version: template.version, next: last })}
          />
        ) : (
          <div className="row">
            <Button type="submit" look="main" busy={saving.isPending} isDisabled={step === null}>
              {was ? 'Save' : 'Add'}
            </Button>
            <Button onPress={onClose}>Leave as it was</Button>
            {was && (
              <Button
                look="grave"
                busy={saving.isPending}
                onPress={() => saving.mutate({ version: base, next: null })}
              >
                Take it out
              </Button>
            )}
          </div>
        )}
        <Refusal error={saving.stale ? null : saving.error} />
      </form>
    </Dialog>
  );
}

function StepFields(props: {
  draft: StepDraft;
  set: (part: Partial<StepDraft>) => void;
  wrong: StepWrong;
  house: HouseView;
  median: number | undefined;
}) {
  const { draft, set, wrong, house, median } = props;
  return (
    <div className="form">
      <TextField label="Name" required value={draft.label} onChange={(label) => set({ label })} />
      <TextField
        label="Working time"
        unit="min"
        inputMode="numeric"
        required
        value={draft.minutes}
        error={wrong.minutes}
        hint={
          median === undefined ? undefined : (
            <>
              So far it took {minutesWords(median)} (median).{' '}
              <button
                type="button"
                className="as-link"
                onClick={() => set({ minutes: String(Math.round(median ?? 0)) })}
              >
                Plan with that
              </button>
            </>
          )
        }
        onChange={(minutes) => set({ minutes })}
      />
      <SelectField
        label="Counted"
        value={draft.counted}
        options={[
          { value: 'unit', words: 'for each unit by itself' },
          { value: 'sum', words: 'once a loan, longer with more units' },
          { value: 'most', words: 'once a loan, however many units' },
        ]}
        onChange={(counted) => set({ counted })}
      />
      <TextField
        label="People at once"
        inputMode="numeric"
        value={draft.people}
        error={wrong.people}
        onChange={(people) => set({ people })}
      />
      <SelectField
        label="Place"
        value={draft.place}
        options={[
          { value: '', words: 'Anywhere' },
          ...house.places
            .filter(({ retired, id }) => !retired || id === draft.place)
            .map(({ id, name }) => ({ value: id, words: laneName(name) })),
        ]}
        onChange={(place) => set({ place })}
      />
      <TextField
        label="In how many sessions"
        inputMode="numeric"
        hint="Left empty: as many as its length asks for."
        value={draft.sessions}
        error={wrong.sessions}
        onChange={(sessions) => set({ sessions })}
      />
      <TextField
        label="A session lasts at most"
        unit="min"
        inputMode="numeric"
        value={draft.sessionMinutes}
        error={wrong.sessionMinutes}
        onChange={(sessionMinutes) => set({ sessionMinutes })}
      />
    </div>
  );
}

function WaitsFor(props: {
  draft: StepDraft;
  set: (part: Partial<StepDraft>) => void;
  others: readonly StepTemplate[];
}) {
  const { draft, set, others } = props;
  return (
    <fieldset className="house-kinds">
      <legend>
        <strong>Waits for</strong>
      </legend>
      {others.map((other) => (
        <CheckField
          key={other.kind}
          label={other.label}
          checked={draft.after.includes(other.kind)}
          onChange={(on) =>
            set({
              after: on ? [...draft.after, other.kind] : draft.after.filter((one) => one !== other.kind),
            })
          }
        />
      ))}
    </fieldset>
  );
}

function StepChecks({ draft, set }: { draft: StepDraft; set: (part: Partial<StepDraft>) => void }) {
  return (
    <fieldset className="house-kinds">
      <legend>
        <strong>What it is like</strong>
      </legend>
      <CheckField
        label="Loud"
        hint="Only while loud work is allowed."
        checked={draft.loud}
        onChange={(loud) => set({ loud })}
      />
      <CheckField
        label="Runs by itself"
        hint="Goes on outside working hours."
        checked={draft.unattended}
        onChange={(unattended) => set({ unattended })}
      />
      <CheckField
        label="Sessions on separate days"
        checked={draft.separateDays}
        onChange={(separateDays) => set({ separateDays })}
      />
      <CheckField
        label="Needs the unit here"
        hint="The crate does not leave before it is done."
        checked={draft.needsUnit}
        onChange={(needsUnit) => set({ needsUnit })}
      />
    </fieldset>
  );
}

/** The steps with one of them changed, added or taken out; nobody waits for what is gone. */
function withStep(steps: readonly StepTemplate[], kind: string, next: StepTemplate | null): StepTemplate[] {
  if (next === null) {
    return steps
      .filter((one) => one.kind !== kind)
      .map((one) => ({ ...one, after: one.after.filter((before) => before !== kind) }));
  }
  return steps.some((one) => one.kind === kind)
    ? steps.map((one) => (one.kind === kind ? next : one))
    : [...steps, next];
}
