/** One booking: what it is, and when, with whom and how firmly it stands. */
import { useState, type FormEvent } from 'react';
import { Link } from 'react-router';
import type { BookingsView, BookingView } from '../contracts.js';
import { Button, CheckField, Dialog, TextField, useNow } from '../kit/index.js';
import { dayInZone } from '../words/dates.js';
import { fromHouseField, toHouseField } from '../words/houseClock.js';
import { count } from '../words/numbers.js';
import { whenWords, whoWhereWords } from './bookingWords.js';
import { RefusedMove } from './RefusedMove.js';
import { useChangeBooking } from './useChangeBooking.js';

export function BookingDialog(props: { booking: BookingView; view: BookingsView; onClose: () => void }) {
  const { booking, view, onClose } = props;
  const zone = view.timeZone;
  const today = dayInZone(useNow(), zone);
  const changing = useChangeBooking(onClose);
  return (
    <Dialog title={booking.label} open onClose={onClose} keepOnOutsidePress>
      <p>
        <Link to={`/loans/${booking.loanId}`}>{booking.loanTitle}</Link>
        {booking.unitName && <span className="soft">, {booking.unitName}</span>}
        <br />
        {whenWords(booking, zone, today)}
        <br />
        <span className="soft">{whoWhereWords(booking)}</span>
      </p>
      {booking.state === 'planned' ? (
        <MoveForm booking={booking} view={view} changing={changing} />
      ) : (
        <OutcomeForm booking={booking} changing={changing} />
      )}
      {changing.error && (
        <RefusedMove
          refused={changing.error}
          zone={zone}
          today={today}
          busy={changing.isPending}
          onAgain={(change) => changing.mutate(change)}
          onLeave={onClose}
        />
      )}
    </Dialog>
  );
}

type Changing = ReturnType<typeof useChangeBooking>;

function MoveForm(props: { booking: BookingView; view: BookingsView; changing: Changing }) {
  const { view, changing } = props;
  // What was seen when the form was opened, whatever arrives meanwhile.
  const [booking] = useState(props.booking);
  const zone = view.timeZone;
  const [field, setField] = useState(() => toHouseField(booking.start, zone));
  const [people, setPeople] = useState(() => booking.people.map(({ id }) => id));
  const [pinned, setPinned] = useState(booking.pinned);
  const start = fromHouseField(field, zone);
  const wrongTime =
    start === null
      ? 'Give a day and a time.'
      : Date.parse(start) % 900_000 === 0
        ? undefined
        : 'Bookings begin on a quarter of an hour.';
  const moved = start !== null && Date.parse(start) !== Date.parse(booking.start);
  const others =
    [...people].sort().join() !==
    booking.people
      .map(({ id }) => id)
      .sort()
      .join();
  const wrongPeople = people.length !== booking.people.length;
  // Whatever is put somewhere by hand is pinned there, unless one takes the pin out.
  const firm = pinned || ((moved || others) && !booking.pinned);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (start === null || wrongTime || wrongPeople) return;
    changing.mutate({
      booking,
      ...(moved ? { start } : {}),
      ...(others ? { personIds: people } : {}),
      pinned: firm,
    });
  };
  return (
    <form className="stack" onSubmit={submit}>
      <TextField
        label="Begins"
        type="datetime-local"
        required
        step={900}
        value={field}
        error={wrongTime}
        onChange={setField}
      />
      {booking.people.length > 0 && (
        <People view={view} chosen={people} wanted={booking.people.length} onChange={setPeople} />
      )}
      <CheckField
        label="Pinned"
        hint={
          (moved || others) && !booking.pinned
            ? 'What is moved by hand is pinned: it stays there when the plan is worked out anew.'
            : 'It stays there when the plan is worked out anew.'
        }
        checked={firm}
        disabled={(moved || others) && !booking.pinned}
        onChange={setPinned}
      />
      <div className="row">
        <Button type="submit" look="main" busy={changing.isPending} isDisabled={wrongPeople}>
          {moved ? 'Move and pin it' : 'Save'}
        </Button>
      </div>
    </form>
  );
}

function People(props: {
  view: BookingsView;
  chosen: readonly string[];
  wanted: number;
  onChange: (chosen: string[]) => void;
}) {
  const people = props.view.rows.filter(({ kind }) => kind === 'person');
  const missing = props.wanted - props.chosen.length;
  return (
    <fieldset className="field">
      <legend className="small">
        <strong>Who</strong>
      </legend>
      {people.map((row) => {
        const id = row.id.slice('person:'.length);
        return (
          <CheckField
            key={id}
            label={row.name}
            checked={props.chosen.includes(id)}
            onChange={(on) =>
              props.onChange(on ? [...props.chosen, id] : props.chosen.filter((other) => other !== id))
            }
          />
        );
      })}
      {missing !== 0 && (
        <p className="field-error">
          It takes {count(props.wanted, 'person', 'people')}:{' '}
          {missing > 0 ? `choose ${missing} more` : `leave out ${-missing}`}.
        </p>
      )}
    </fieldset>
  );
}

function OutcomeForm({ booking, changing }: { booking: BookingView; changing: Changing }) {
  const say = (outcome: 'worked' | 'missed' | null) => changing.mutate({ booking, outcome });
  const words =
    booking.outcome === 'worked'
      ? 'It took place.'
      : booking.outcome === 'missed'
        ? 'It did not take place; the work is planned anew.'
        : 'Did it take place? What did not is planned anew.';
  return (
    <div className="stack">
      <p>{words}</p>
      <div className="row">
        {booking.outcome !== 'worked' && (
          <Button busy={changing.isPending} onPress={() => say('worked')}>
            It took place
          </Button>
        )}
        {booking.outcome !== 'missed' && (
          <Button busy={changing.isPending} onPress={() => say('missed')}>
            It did not take place
          </Button>
        )}
        {booking.outcome !== null && (
          <Button look="quiet" busy={changing.isPending} onPress={() => say(null)}>
            Take that back
          </Button>
        )}
      </div>
    </div>
  );
}
