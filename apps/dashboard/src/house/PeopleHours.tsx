/** When each person works, and which kinds of work they do. */
import { useQuery } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { queries } from '../api/queries.js';
import type { HouseView, PersonHoursView } from '../contracts.js';
import { Button, CheckField, ChoiceField, Dialog, Overtaken, Refusal } from '../kit/index.js';
import { inSentence, listWords } from '../words/numbers.js';
import { draftHours, HoursFields, hoursDraft } from './HoursFields.js';
import { hoursWords, usualHours } from './hoursText.js';
import { useHouseSave } from './useHouseSave.js';

interface Kind {
  readonly kind: string;
  readonly label: string;
}

/** Every kind of step that some template has, under its first name. */
function useStepKinds(): readonly Kind[] {
  const templates = useQuery(queries.templates()).data ?? [];
  const labels = new Map<string, string>();
  for (const { steps } of templates)
    for (const { kind, label } of steps) if (!labels.has(kind)) labels.set(kind, label);
  return [...labels].map(([kind, label]) => ({ kind, label }));
}

function personWords(
  { hours, does }: Pick<PersonHoursView, 'hours' | 'does'>,
  kinds: readonly Kind[],
): string {
  const when = hours === null ? 'the hours of the house' : hoursWords(hours);
  const names = does?.map((kind) => inSentence(kinds.find((one) => one.kind === kind)?.label ?? kind));
  const what =
    names === undefined
      ? 'every kind of work'
      : names.length === 0
        ? 'no work of the plan'
        : listWords(names);
  return `${when}; ${what}`;
}

export function PeopleHours({ house }: { house: HouseView }) {
  const kinds = useStepKinds();
  const [editing, setEditing] = useState<string | null>(null);
  const edited = house.people.find(({ id }) => id === editing);
  return (
    <section className="stack" aria-labelledby="people-hours">
      <h2 id="people-hours">People</h2>
      <ul className="lines">
        {house.people.map((person) => (
          <li key={person.id} className="row apart">
            <div className="house-words">
              <strong>{person.name}</strong>{' '}
              {person.timeZone !== house.timeZone && (
                <span className="small soft">on the clock of {person.timeZone.replaceAll('_', ' ')}</span>
              )}
              <div className="small soft">{personWords(person, kinds)}</div>
            </div>
            <Button look="quiet" icon="pencil" onPress={() => setEditing(person.id)}>
              Change<span className="hidden"> the hours of {person.name}</span>
            </Button>
          </li>
        ))}
      </ul>
      {edited && (
        <PersonForm
          key={edited.id}
          person={edited}
          house={house}
          kinds={kinds}
          onClose={() => setEditing(null)}
        />
      )}
    </section>
  );
}

function PersonForm(props: {
  person: PersonHoursView;
  house: HouseView;
  kinds: readonly Kind[];
  onClose: () => void;
}) {
  const { person, house, kinds, onClose } = props;
  const [base] = useState(person.version);
  const [hours, setHours] = useState(() => hoursDraft(person.hours, house.hours ?? usualHours));
  const [all, setAll] = useState(person.does === null);
  const [does, setDoes] = useState<readonly string[]>(() => person.does ?? kinds.map(({ kind }) => kind));
  const open = draftHours(hours);
  const mine = { hours: open ?? null, does: all ? null : [...does] };
  const saving = useHouseSave(
    (version: number) => api.changePersonHours(person.id, { version, ...mine }),
    onClose,
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (open !== undefined) saving.mutate(base);
  };
  return (
    <Dialog title={person.name} open wide keepOnOutsidePress onClose={onClose}>
      <form className="stack" onSubmit={submit}>
        <HoursFields
          label="Works"
          otherwise="The hours of the house"
          own="Hours of their own"
          draft={hours}
          onChange={setHours}
        />
        <p className="small soft">On the person’s own clock: {person.timeZone.replaceAll('_', ' ')}.</p>
        <ChoiceField
          label="Does"
          value={all ? 'all' : 'some'}
          options={[
            { value: 'all', words: 'Every kind of work' },
            { value: 'some', words: 'Some kinds' },
          ]}
          onChange={(which) => setAll(which === 'all')}
        />
        {!all && (
          <fieldset className="house-kinds">
            <legend className="hidden">Kinds of work</legend>
            {kinds.map(({ kind, label }) => (
              <CheckField
                key={kind}
                label={label}
                checked={does.includes(kind)}
                onChange={(on) => setDoes(on ? [...does, kind] : does.filter((one) => one !== kind))}
              />
            ))}
          </fieldset>
        )}
        {saving.stale ? (
          <Overtaken
            what={`the hours of ${person.name}`}
            theirs={personWords(person, kinds)}
            mine={personWords(mine, kinds)}
            busy={saving.isPending}
            onTheirs={onClose}
            onMine={() => saving.mutate(person.version)}
          />
        ) : (
          <div className="row">
            <Button type="submit" look="main" busy={saving.isPending} isDisabled={open === undefined}>
              Save
            </Button>
            <Button onPress={onClose}>Leave as it was</Button>
          </div>
        )}
        <Refusal error={saving.stale ? null : saving.error} />
      </form>
    </Dialog>
  );
}
