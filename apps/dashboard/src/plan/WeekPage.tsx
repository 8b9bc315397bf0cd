/** The bookings of a week: places or people side by side under each day; on a phone a day at a time. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { queries } from '../api/queries.js';
import { useHere } from '../app/session.js';
import type { BookingsView, BookingView } from '../contracts.js';
import { Answer, Button, Dialog, IconButton, SelectField, TextField, useNow } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { useWidth } from '../timeline/useWidth.js';
import { dayInZone, dayNumber, relativeDays, shortDay } from '../words/dates.js';
import { addDays, mondayOf } from '../words/houseClock.js';
import { BookingDialog } from './BookingDialog.js';
import { whenWords } from './bookingWords.js';
import { RefusedMove } from './RefusedMove.js';
import { useChangeBooking, type BookingChange } from './useChangeBooking.js';
import { WeekGrid } from './WeekGrid.js';
import { daysOf, ELSEWHERE, laneName, type Show } from './weekLayout.js';

/** Below this a day at a time. */
const WEEK_PX = 700;

export function WeekPage() {
  const zone = useHere().session.timeZone ?? 'UTC';
  const today = dayInZone(useNow(), zone);
  const [ref, width] = useWidth();
  const [address, setAddress] = useSearchParams();
  const asked = address.get('day') ?? '';
  const day = Number.isNaN(dayNumber(asked)) ? today : asked.slice(0, 10);
  const monday = mondayOf(day);
  const oneDay = width > 0 && width < WEEK_PX;
  const go = (to: string) => setAddress(to === today ? {} : { day: to }, { replace: true });
  const bookings = useQuery({
    ...queries.bookings(monday, addDays(monday, 6)),
    placeholderData: (before) => before,
  });
  const [show, setShow] = useState<Show>('places');
  return (
    <div className="stack" ref={ref}>
      <WeekHead day={day} today={today} oneDay={oneDay} onGo={go}>
        <SelectField
          label={<span className="hidden">Show</span>}
          value={show}
          options={showOptions(bookings.data)}
          onChange={setShow}
        />
      </WeekHead>
      <Answer query={bookings} what="the bookings">
        {(view) =>
          width > 0 ? (
            <Week view={view} days={oneDay ? [day] : daysOf(monday)} today={today} show={show} />
          ) : null
        }
      </Answer>
    </div>
  );
}

function showOptions(view: BookingsView | undefined): { value: Show; words: string }[] {
  const rows = view?.rows ?? [];
  return [
    { value: 'places', words: 'All places' },
    { value: 'people', words: 'All people' },
    ...rows.map(({ id, name }) => ({ value: id, words: `Only ${laneName(name)}` })),
    { value: ELSEWHERE.id, words: 'Without a place' },
  ];
}

function WeekHead(props: {
  day: string;
  today: string;
  oneDay: boolean;
  onGo: (day: string) => void;
  children: React.ReactNode;
}) {
  const { day, today, oneDay, onGo } = props;
  const step = oneDay ? 1 : 7;
  const unit = oneDay ? 'day' : 'week';
  const monday = mondayOf(day);
  const weeks = (dayNumber(monday) - dayNumber(mondayOf(today))) / 7;
  return (
    <div className="week-head">
      <div className="week-turn">
        <IconButton icon="back" label={`The ${unit} before`} onPress={() => onGo(addDays(day, -step))} />
        <h2 aria-live="polite">
          {oneDay
            ? shortDay(day, today)
            : `${shortDay(monday, today, false)} to ${shortDay(addDays(monday, 6), today, false)}`}{' '}
          <span className="small soft">
            {oneDay ? relativeDays(dayNumber(day) - dayNumber(today)) : weekWords(weeks)}
          </span>
        </h2>
        <IconButton icon="arrow" label={`The ${unit} after`} onPress={() => onGo(addDays(day, step))} />
      </div>
      <div className="week-choose">
        {day !== today && <Button onPress={() => onGo(today)}>{oneDay ? 'Today' : 'This week'}</Button>}
        <TextField
          label={<span className="hidden">Go to a day</span>}
          type="date"
          value={day}
          onChange={(to) => {
            if (!Number.isNaN(dayNumber(to))) onGo(to);
          }}
        />
        {props.children}
      </div>
    </div>
  );
}

function weekWords(weeks: number): string {
  if (weeks === 0) return 'this week';
  if (weeks === 1) return 'next week';
  if (weeks === -1) return 'last week';
  return weeks > 0 ? `in ${weeks} weeks` : `${-weeks} weeks ago`;
}

function Week(props: { view: BookingsView; days: readonly string[]; today: string; show: Show }) {
  const { view, days, today, show } = props;
  const zone = view.timeZone;
  const [openId, setOpenId] = useState<string | null>(null);
  const changing = useChangeBooking((done) =>
    say({
      tone: 'good',
      title: done.pinned ? 'Pinned' : 'No longer pinned',
      text: `${done.label} of ${done.loanTitle}, ${whenWords(done, zone, today)}.`,
    }),
  );
  const changes = useQuery(queries.plan()).data?.changes ?? [];
  const doubtful = new Set(changes.flatMap(({ bookingId }) => bookingId ?? []));
  const open = view.bookings.find(({ id }) => id === openId);
  const change = (asked: BookingChange) => changing.mutate(asked);
  const empty = !view.bookings.some((one) => touches(one, days, zone));
  return (
    <>
      {empty && (
        <p className="soft">Nothing is booked {days.length === 1 ? 'on this day' : 'in this week'}.</p>
      )}
      <WeekGrid
        view={view}
        days={days}
        today={today}
        show={show}
        doubtful={doubtful}
        onOpen={(booking) => setOpenId(booking.id)}
        onMove={(booking, start) => change({ booking, start })}
        onPin={(booking) => change({ booking, pinned: !booking.pinned })}
      />
      <WeekKey />
      {open && <BookingDialog key={open.id} booking={open} view={view} onClose={() => setOpenId(null)} />}
      {changing.error && (
        <Dialog title="It can’t stand there" open onClose={changing.reset}>
          <RefusedMove
            refused={changing.error}
            zone={zone}
            today={today}
            busy={changing.isPending}
            onAgain={change}
            onLeave={changing.reset}
          />
        </Dialog>
      )}
    </>
  );
}

const touches = ({ start, finish }: BookingView, days: readonly string[], zone: string): boolean =>
  dayInZone(new Date(start), zone) <= (days.at(-1) ?? '') &&
  dayInZone(new Date(finish), zone) >= (days[0] ?? '');

function WeekKey() {
  return (
    <ul className="week-key small soft" aria-label="How to read the week">
      <li>
        <span className="week-swatch" data-kind="closed" aria-hidden="true" /> outside the hours
      </li>
      <li>
        <span className="week-swatch" data-kind="away" aria-hidden="true" /> away or closed
      </li>
      <li>
        <span className="week-swatch" data-kind="loud" aria-hidden="true" /> loud work allowed
      </li>
      <li>
        <span className="week-swatch" data-kind="doubtful" aria-hidden="true" /> should change
      </li>
      <li id="week-keys">
        Drag a booking (on a touch screen hold it first) to move it and pin it there. By keyboard: choose one,
        move it with the arrow keys, Enter to keep, Escape to leave; P pins; Enter alone opens it.
      </li>
    </ul>
  );
}
