/** Where work is done: how many pieces at once, and when it may be used. */
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { HouseView, PlaceView } from '../contracts.js';
import { Button, CheckField, Dialog, Overtaken, Refusal, TextField } from '../kit/index.js';
import { laneName } from '../plan/weekLayout.js';
import { count, parseNumber } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';
import { draftHours, HoursFields, hoursDraft } from './HoursFields.js';
import { hoursWords, usualHours } from './hoursText.js';
import { useHouseSave } from './useHouseSave.js';

const placeWords = ({ capacity, hours }: Pick<PlaceView, 'capacity' | 'hours'>): string =>
  `${count(capacity, 'piece')} of work at once; ${hours === null ? 'open round the clock' : hoursWords(hours)}`;

export function Places({ house }: { house: HouseView }) {
  const [editing, setEditing] = useState<string | null>(null);
  const edited = house.places.find(({ id }) => id === editing);
  return (
    <section className="section stack" aria-labelledby="places">
      <div className="row apart">
        <h2 id="places">Places</h2>
        <Button look="quiet" icon="plus" onPress={() => setEditing('new')}>
          Add a place
        </Button>
      </div>
      <ul className="lines">
        {house.places.map((place) => (
          <li key={place.id} className="row apart">
            <div>
              <strong>{laneName(place.name)}</strong>{' '}
              {place.retired && <span className="tag">no longer used</span>}
              <div className="small soft">{placeWords(place)}</div>
            </div>
            <Button look="quiet" icon="pencil" onPress={() => setEditing(place.id)}>
              Change<span className="hidden"> {place.name}</span>
            </Button>
          </li>
        ))}
      </ul>
      {(editing === 'new' || edited) && (
        <PlaceForm key={editing} place={edited ?? null} onClose={() => setEditing(null)} />
      )}
    </section>
  );
}

function PlaceForm({ place, onClose }: { place: PlaceView | null; onClose: () => void }) {
  const [base] = useState(place?.version ?? 0);
  const [name, setName] = useState(place?.name ?? '');
  const [capacity, setCapacity] = useState(String(place?.capacity ?? 1));
  const [hours, setHours] = useState(() => hoursDraft(place?.hours ?? null, usualHours));
  const [retired, setRetired] = useState(place?.retired ?? false);
  const lanes = parseNumber(capacity);
  const wrongLanes =
    lanes !== null && Number.isInteger(lanes) && lanes >= 1 && lanes <= 20
      ? undefined
      : 'A whole number from 1 to 20.';
  const open = draftHours(hours);
  const saving = useHouseSave((version: number) => {
    const ask = { name, capacity: lanes ?? 1, hours: open ?? null };
    return place ? api.changePlace(place.id, { ...ask, version, retired }) : api.addPlace(ask);
  }, onClose);
  const refusal = saving.error && !saving.stale ? refusalOf(saving.error) : null;
  const wrong = wrongLanes !== undefined || open === undefined;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (!wrong) saving.mutate(base);
  };
  return (
    <Dialog
      title={place ? laneName(place.name) : 'Add a place'}
      open
      wide
      keepOnOutsidePress
      onClose={onClose}
    >
      <form className="stack" onSubmit={submit}>
        <TextField
          label="Name"
          required
          hint="As it reads in a sentence, such as “the rig”."
          value={name}
          error={fieldMessage(refusal, 'name')}
          onChange={setName}
        />
        <TextField
          label="Pieces of work at once"
          inputMode="numeric"
          value={capacity}
          error={wrongLanes}
          onChange={setCapacity}
        />
        <HoursFields label="Open" otherwise="Round the clock" draft={hours} onChange={setHours} />
        {place && (
          <CheckField
            label="No longer used"
            hint="Nothing new is planned there; what was booked stays in the history."
            checked={retired}
            onChange={setRetired}
          />
        )}
        {saving.stale && place ? (
          <Overtaken
            what="this place"
            theirs={`${place.name}: ${placeWords(place)}`}
            mine={`${name}: ${placeWords({ capacity: lanes ?? 1, hours: open ?? null })}`}
            busy={saving.isPending}
            onTheirs={onClose}
            onMine={() => saving.mutate(place.version)}
          />
        ) : (
          <div className="row">
            <Button type="submit" look="main" busy={saving.isPending} isDisabled={wrong}>
              {place ? 'Save' : 'Add'}
            </Button>
            <Button onPress={onClose}>Leave as it was</Button>
          </div>
        )}
        <Refusal marked error={saving.stale ? null : saving.error} />
      </form>
    </Dialog>
  );
}
