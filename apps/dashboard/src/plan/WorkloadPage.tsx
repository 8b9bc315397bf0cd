/** How full the weeks of each person and place are: bars, and the numbers behind them. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { queries } from '../api/queries.js';
import { useHere } from '../app/session.js';
import type { WorkloadView } from '../contracts.js';
import { Answer, ChoiceField, useNow } from '../kit/index.js';
import { dayInZone, shortDay } from '../words/dates.js';
import { mondayOf } from '../words/houseClock.js';
import { minutesWords } from '../words/numbers.js';
import { laneName } from './weekLayout.js';

const WEEKS = 8;
type Kind = 'person' | 'place';

export function WorkloadPage() {
  const zone = useHere().session.timeZone ?? 'UTC';
  const monday = mondayOf(dayInZone(useNow(), zone));
  const workload = useQuery(queries.workload(monday, WEEKS));
  const [kind, setKind] = useState<Kind>('person');
  return (
    <div className="stack">
      <div className="row apart">
        <h2>The next {WEEKS} weeks</h2>
        <ChoiceField
          label={<span className="hidden">Whose</span>}
          value={kind}
          options={[
            { value: 'person', words: 'People' },
            { value: 'place', words: 'Places' },
          ]}
          onChange={setKind}
        />
      </div>
      <Answer query={workload} what="the workload">
        {(view) => <Workload view={view} kind={kind} />}
      </Answer>
    </div>
  );
}

interface Line {
  readonly id: string;
  readonly name: string;
  readonly weeks: readonly { from: string; open: number; booked: number }[];
}

function linesOf(view: WorkloadView, kind: Kind): Line[] {
  const rows = (view.weeks[0]?.rows ?? []).filter((row) => row.kind === kind);
  return rows.map(({ id, name }) => ({
    id,
    name: laneName(name),
    weeks: view.weeks.map((week) => {
      const row = week.rows.find((one) => one.id === id);
      return { from: week.from, open: row?.openMinutes ?? 0, booked: row?.bookedMinutes ?? 0 };
    }),
  }));
}

function Workload({ view, kind }: { view: WorkloadView; kind: Kind }) {
  const lines = linesOf(view, kind);
  const today = dayInZone(useNow(), view.timeZone);
  const most = Math.max(
    60,
    ...lines.flatMap(({ weeks }) => weeks.flatMap(({ open, booked }) => [capped(open, kind), booked])),
  );
  return (
    <>
      <figure
        className="workload"
        aria-label={`Booked hours of each ${kind === 'person' ? 'person' : 'place'} by week`}
      >
        {lines.map((line) => (
          <div key={line.id} className="workload-line">
            <h3>{line.name}</h3>
            <div className="workload-weeks" aria-hidden="true">
              {line.weeks.map((week) => (
                <Bar key={week.from} week={week} most={most} kind={kind} today={today} />
              ))}
            </div>
          </div>
        ))}
        <figcaption className="small soft">
          Filled: booked.{' '}
          {kind === 'person'
            ? 'Outline: the hours the person works that week, absences taken off.'
            : 'A place without hours of its own is open round the clock; only what is booked is drawn.'}
        </figcaption>
      </figure>
      <details>
        <summary>As a table</summary>
        <WorkloadTable lines={lines} today={today} kind={kind} />
      </details>
    </>
  );
}

const WEEK_MINUTES = 7 * 24 * 60;
/** Round the clock is no measure of a week’s work. */
const capped = (open: number, kind: Kind): number => (kind === 'place' && open > WEEK_MINUTES / 2 ? 0 : open);

function Bar(props: { week: Line['weeks'][number]; most: number; kind: Kind; today: string }) {
  const { week, most, kind } = props;
  const open = capped(week.open, kind);
  const high = (minutes: number) => `${(100 * minutes) / most}%`;
  const over = kind === 'person' && week.booked > week.open;
  return (
    <div className="workload-week" title={`${shortDay(week.from, props.today)}: ${bookedWords(week, kind)}`}>
      <div className="workload-bar">
        <div className="workload-open" style={{ height: high(open) }} />
        <div
          className="workload-booked"
          data-over={over || undefined}
          style={{ height: high(week.booked) }}
        />
      </div>
      <span className="small num">{minutesWords(week.booked).replace(/^0 min$/, '–')}</span>
      <span className="small soft">{shortDay(week.from, week.from, false)}</span>
    </div>
  );
}

function bookedWords({ open, booked }: { open: number; booked: number }, kind: Kind): string {
  if (kind === 'person' && open === 0) return booked === 0 ? 'away' : `${minutesWords(booked)}, away`;
  const of = capped(open, kind) === 0 ? '' : ` of ${minutesWords(open)}`;
  return `${booked === 0 ? '0 h' : minutesWords(booked)}${of}`;
}

function WorkloadTable({ lines, today, kind }: { lines: readonly Line[]; today: string; kind: Kind }) {
  return (
    // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex
    <section className="scroll-x" tabIndex={0} aria-label="Booked hours by week">
      <table className="list-table">
        <thead>
          <tr>
            <th scope="col">{kind === 'person' ? 'Person' : 'Place'}</th>
            {lines[0]?.weeks.map((week) => (
              <th scope="col" key={week.from}>
                Week of {shortDay(week.from, today, false)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.id}>
              <th scope="row">{line.name}</th>
              {line.weeks.map((week) => (
                <td key={week.from} className="num">
                  {bookedWords(week, kind)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
