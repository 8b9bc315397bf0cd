/** One day of the week: its lanes, what is closed, what is booked, and what is being moved here. */
import type { CSSProperties, KeyboardEvent, PointerEvent } from 'react';
import type { BookingsView, BookingView } from '../contracts.js';
import { Icon } from '../kit/index.js';
import { shortDay } from '../words/dates.js';
import { clockOf, timeOfDay, wallClock, type WallClock } from '../words/houseClock.js';
import { fullWords, subjectWords } from './bookingWords.js';
import {
  closedOf,
  common,
  isInLane,
  lengthOf,
  PX_PER_HOUR,
  stretchesOn,
  type Lane,
  type Piece,
  type Stretch,
  type Tentative,
} from './weekLayout.js';

export interface ColumnActs {
  readonly onOpen: (booking: BookingView) => void;
  readonly onGrab: (booking: BookingView, event: PointerEvent<HTMLElement>) => void;
  readonly onKey: (booking: BookingView, event: KeyboardEvent<HTMLElement>) => void;
  readonly onBlur: () => void;
}

interface ColumnProps {
  readonly day: string;
  readonly today: string;
  readonly view: BookingsView;
  readonly lanes: readonly Lane[];
  readonly hours: Stretch;
  readonly pieces: readonly Piece[];
  readonly unattended: readonly BookingView[];
  readonly now: WallClock;
  readonly tentative: Tentative | null;
  readonly movingId: string | null;
  readonly narrow: boolean;
  readonly doubtful: ReadonlySet<string>;
  readonly acts: ColumnActs;
}

export function DayColumn(props: ColumnProps) {
  const { day, today, view, lanes, hours, narrow } = props;
  const holiday = view.holidays.find((one) => one.day === day);
  return (
    <section
      className="week-day"
      data-today={day === today || undefined}
      data-narrow={narrow || undefined}
      aria-label={shortDay(day, today)}
    >
      <DayHead {...props} holiday={holiday?.name ?? null} />
      <div className="week-column" data-day={day} style={{ height: y(hours.to, hours) }}>
        <Shades {...props} />
        {props.now.day === day && props.now.minute >= hours.from && props.now.minute <= hours.to && (
          <div className="week-now" style={{ top: y(props.now.minute, hours) }} />
        )}
        <ul className="week-bookings" aria-label={`Bookings on ${shortDay(day, today)}`}>
          {props.pieces.map((piece) => (
            <li key={`${piece.booking.id} ${piece.lane}`} style={placeOf(piece, lanes.length, hours)}>
              <Block piece={piece} {...props} />
            </li>
          ))}
        </ul>
        {props.tentative && <Ghost {...props} tentative={props.tentative} />}
      </div>
    </section>
  );
}

const y = (minute: number, { from }: Stretch): number => ((minute - from) / 60) * PX_PER_HOUR;

function placeOf({ from, to, lane, column, columns }: Piece, lanes: number, hours: Stretch): CSSProperties {
  const laneWidth = 100 / lanes;
  return {
    top: y(from, hours),
    height: y(to, hours) - y(from, hours),
    left: `${laneWidth * (lane + column / columns)}%`,
    width: `${laneWidth / columns}%`,
  };
}

function DayHead({
  day,
  today,
  lanes,
  view,
  unattended,
  acts,
  narrow,
  holiday,
}: ColumnProps & { holiday: string | null }) {
  return (
    <div className="week-day-head">
      <h3>
        {narrow ? shortDay(day, today).split(' ').slice(0, 2).join(' ') : shortDay(day, today)}
        {day === today && <span className="small soft"> today</span>}
      </h3>
      {holiday !== null && <p className="small">Holiday: {holiday}</p>}
      {unattended.length > 0 && (
        <ul className="week-alone" aria-label="Runs by itself">
          {unattended.map((booking) => (
            <li key={booking.id}>
              <button
                type="button"
                className="week-alone-one"
                aria-label={fullWords(booking, view.timeZone, today)}
                onClick={() => acts.onOpen(booking)}
              >
                {booking.label} {aloneWords(booking, day, view.timeZone)}
                <span className="soft"> {subjectWords(booking)}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
      {!narrow && lanes.length > 1 && (
        <div className="week-lanes" aria-hidden="true">
          {lanes.map((lane) => (
            <span key={lane.id} title={lane.name}>
              {lane.kind === 'person' ? lane.name.split(' ')[0] : lane.name}
            </span>
          ))}
        </div>
      )}
    </div>
  );
}

function aloneWords({ start, finish }: BookingView, day: string, zone: string): string {
  if (wallClock(start, zone).day === day) return `from ${timeOfDay(start, zone)}`;
  if (wallClock(finish, zone).day === day) return `until ${timeOfDay(finish, zone)}`;
  return 'all day';
}

/** Behind each lane: when it is not open, and who is away. */
function Shades({ day, view, lanes, hours }: ColumnProps) {
  const zone = view.timeZone;
  const house = stretchesOn(day, view.house, zone);
  const width = 100 / lanes.length;
  return (
    <div aria-hidden="true">
      {lanes.map((lane, at) => {
        const row = view.rows.find(({ id }) => id === lane.id);
        const own = row ? stretchesOn(day, row.open, zone) : house;
        const open = lane.kind === 'person' ? own : common(own, house);
        const away = (row?.away ?? []).flatMap((span) =>
          stretchesOn(day, [span], zone).map((stretch) => ({ ...stretch, why: span.why })),
        );
        const across = { left: `${width * at}%`, width: `${width}%` };
        return (
          <div key={lane.id}>
            {closedOf(open).map((one) => (
              <div key={`c${one.from}`} className="week-closed" style={{ ...across, ...tall(one, hours) }} />
            ))}
            {away.map((one) => (
              <div
                key={`a${one.from}`}
                className="week-away small"
                style={{ ...across, ...tall(one, hours) }}
                title={one.why}
              >
                <span>{one.why === '' ? 'away' : one.why}</span>
              </div>
            ))}
            {at > 0 && <div className="week-lane-line" style={{ left: `${width * at}%` }} />}
          </div>
        );
      })}
      {stretchesOn(day, view.loud, zone).map((one) => (
        <div key={`l${one.from}`} className="week-loud" style={tall(one, hours)} />
      ))}
    </div>
  );
}

function tall(one: Stretch, hours: Stretch): CSSProperties {
  const from = Math.max(one.from, hours.from);
  const to = Math.min(one.to, hours.to);
  return { top: y(from, hours), height: Math.max(0, y(to, hours) - y(from, hours)) };
}

function Block({ piece, view, today, movingId, doubtful, acts }: ColumnProps & { piece: Piece }) {
  const { booking } = piece;
  const words = [
    fullWords(booking, view.timeZone, today),
    ...(doubtful.has(booking.id) ? ['should change'] : []),
  ].join('; ');
  return (
    <button
      type="button"
      className="booking"
      data-booking={booking.id}
      data-state={booking.state}
      data-pinned={booking.pinned || undefined}
      data-moving={movingId === booking.id || undefined}
      data-short={piece.to - piece.from < 45 || undefined}
      data-doubtful={doubtful.has(booking.id) || undefined}
      aria-label={words}
      aria-describedby={booking.state === 'planned' ? 'week-keys' : undefined}
      title={words}
      onPointerDown={(event) => acts.onGrab(booking, event)}
      onKeyDown={(event) => acts.onKey(booking, event)}
      onBlur={acts.onBlur}
      onClick={() => {
        if (movingId === null) acts.onOpen(booking);
      }}
      onContextMenu={(event) => {
        if (movingId !== null) event.preventDefault();
      }}
    >
      <span className="booking-words">
        <strong>
          {booking.pinned && <Icon name="pin" size={13} />}
          {booking.label}
        </strong>{' '}
        <span>{subjectWords(booking)}</span>{' '}
        {booking.people.length > 0 && (
          <span className="soft">{booking.people.map(({ name }) => name.split(' ')[0]).join(', ')}</span>
        )}
      </span>
    </button>
  );
}

/** Where it would be put. */
function Ghost({ tentative, lanes, hours, view }: ColumnProps & { tentative: Tentative }) {
  const { minute } = wallClock(tentative.start, view.timeZone);
  const end = minute + lengthOf(tentative.booking);
  return lanes.map((lane, at) =>
    isInLane(tentative.booking, lane) ? (
      <div
        key={lane.id}
        className="booking-ghost"
        aria-hidden="true"
        style={{
          ...tall({ from: minute, to: end }, hours),
          left: `${(100 / lanes.length) * at}%`,
          width: `${100 / lanes.length}%`,
        }}
      >
        <span className="num">{clockOf(minute)}</span>
      </div>
    ) : null,
  );
}
