/** All loans as bands over days: where each stands, what is left, and what will go back late. */
import { useMemo } from 'react';
import { Link } from 'react-router';
import { stageWords, type LoanSummary, type Urgency } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { dayInZone, dayNumber, dayWords, relativeDays, spareWords } from '../words/dates.js';
import { bandDays, bandShape, windowOf, xOf, type BandDays, type DayWindow } from './bandShape.js';
import { calendarMarks, weekends } from './calendarMarks.js';
import { useWidth } from './useWidth.js';
import '../styles/timeline.css';

const BAND_PX = 40;
const AXIS_PX = 26;
const rank: Readonly<Record<Urgency, number>> = {
  late: 0,
  'at-risk': 1,
  'on-track': 2,
  settled: 3,
  undated: 4,
};

export function LoanTimeline({ loans }: { loans: readonly LoanSummary[] }) {
  const now = useNow();
  const [ref, width] = useWidth();
  const today = dayInZone(now);
  const drawn = useMemo(
    () =>
      loans
        .filter((loan) => loan.stage !== 'closed')
        .flatMap((loan) => {
          const days = bandDays(loan);
          return days ? [{ loan, days }] : [];
        })
        .sort(byUrgency),
    [loans],
  );
  const window = windowOf(
    drawn.map((each) => each.days),
    dayNumber(today),
  );
  const undated = loans.filter((loan) => loan.stage !== 'closed' && !bandDays(loan));
  const nowX = xOf(dayNumber(today) + fractionOfDay(now), window, width);
  return (
    <div className="timeline">
      <div className="timeline-place">
        <div className="timeline-ground" aria-hidden="true" ref={ref}>
          {width > 0 && <Ground window={window} width={width} nowX={nowX} />}
        </div>
        {width > 0 && (
          <ul className="timeline-rows">
            {drawn.map(({ loan, days }) => (
              <BandRow key={loan.id} loan={loan} days={days} window={window} width={width} today={today} />
            ))}
          </ul>
        )}
      </div>
      {undated.length > 0 && (
        <p className="small soft timeline-undated">
          Without dates yet:{' '}
          {undated.map((loan, index) => (
            <span key={loan.id}>
              {index > 0 && ', '}
              <Link to={`/loans/${loan.id}`}>{loan.title}</Link>
            </span>
          ))}
        </p>
      )}
      <TimelineKey />
    </div>
  );
}

function byUrgency(
  a: { loan: LoanSummary; days: BandDays },
  b: { loan: LoanSummary; days: BandDays },
): number {
  const first = rank[a.loan.plan.urgency] - rank[b.loan.plan.urgency];
  return first || (a.days.returnBy ?? Infinity) - (b.days.returnBy ?? Infinity);
}

function fractionOfDay(now: Date): number {
  return (now.getHours() * 60 + now.getMinutes()) / 1440;
}

/** Weekends, weeks, months and the day itself, behind all bands. */
function Ground(props: { window: DayWindow; width: number; nowX: number }) {
  const { window, width } = props;
  const x = (day: number) => xOf(day, window, width);
  return (
    <svg width={width} height="100%">
      {weekends(window).map((day) => (
        <rect
          key={day}
          x={x(day)}
          y={AXIS_PX}
          width={x(day + 2) - x(day)}
          height="100%"
          className="timeline-weekend"
        />
      ))}
      {calendarMarks(window, width).map((mark) => (
        <g key={mark.day}>
          {mark.month && (
            <line x1={x(mark.day)} x2={x(mark.day)} y1={AXIS_PX - 6} y2="100%" className="timeline-month" />
          )}
          <text
            x={x(mark.day) + (mark.month ? 4 : 0)}
            y={AXIS_PX - 9}
            className={mark.month ? 'timeline-month-name' : 'timeline-week'}
          >
            {mark.text}
          </text>
        </g>
      ))}
      <line x1={props.nowX} x2={props.nowX} y1={AXIS_PX - 4} y2="100%" className="timeline-now" />
    </svg>
  );
}

function BandRow(props: {
  loan: LoanSummary;
  days: BandDays;
  window: DayWindow;
  width: number;
  today: string;
}) {
  const { loan, days, window, width, today } = props;
  const shape = bandShape(days, window, width, BAND_PX);
  const slack = slackWords(loan);
  return (
    <li className="timeline-row" data-urgency={loan.plan.urgency}>
      <Link to={`/loans/${loan.id}`} className="timeline-link">
        <span className="timeline-words">
          <strong>{loan.title}</strong>
          <span className="small">
            <span className="soft">{stageWords[loan.stage]}, </span>
            {backWords(loan, today)}
          </span>
          {slack && <span className="small timeline-slack">{slack}</span>}
        </span>
        <svg width={width} height={BAND_PX} className="timeline-band" aria-hidden="true">
          <path d={shape.awaited} className="band-awaited" />
          <path d={shape.slack} className="band-slack" />
          <path d={shape.work} className="band-work" />
          <path d={shape.over} className="band-over" />
          {shape.returnX !== null && (
            <line x1={shape.returnX} x2={shape.returnX} y1={3} y2={BAND_PX - 3} className="band-return" />
          )}
          {shape.embargoX !== null && (
            <path d={diamond(shape.embargoX, BAND_PX / 2)} className="band-embargo" />
          )}
        </svg>
        <span className="hidden">{sentenceOf(loan, today)}</span>
      </Link>
    </li>
  );
}

function diamond(x: number, y: number): string {
  return `M${x} ${y - 6}l6 6-6 6-6-6z`;
}

function backWords(loan: LoanSummary, today: string): string {
  if (loan.deliveredOn) return `delivered ${relativeDays(dayNumber(loan.deliveredOn) - dayNumber(today))}`;
  if (!loan.returnBy) return 'no return date agreed';
  return `back by ${dayWords(loan.returnBy, today)}`;
}

function slackWords({ plan }: LoanSummary): string | null {
  if (plan.urgency === 'settled') return null;
  const spare = spareWords(plan);
  if (plan.urgency === 'late') return spare?.startsWith('short') ? `late, ${spare}` : 'late';
  return spare ?? (plan.urgency === 'at-risk' ? 'at risk' : null);
}

function sentenceOf(loan: LoanSummary, today: string): string {
  const embargo = loan.embargoUntil
    ? ` Embargo until ${dayWords(dayInZone(new Date(loan.embargoUntil)), today)}.`
    : '';
  return `${loan.plan.sentence}${embargo}`;
}

function TimelineKey() {
  return (
    <ul className="timeline-key small soft" aria-label="How to read the bands">
      <li>
        <svg width="34" height="14" aria-hidden="true">
          <path d="M0 0v14l34-6v-2z" className="band-work" />
        </svg>
        planned work, narrowing to the day it must be back
      </li>
      <li>
        <svg width="34" height="14" aria-hidden="true">
          <path d="M0 3v8l34-3v-2z" className="band-slack" />
        </svg>
        spare time
      </li>
      <li>
        <svg width="34" height="14" aria-hidden="true">
          <path d="M0 6v2l34 6v-14z" className="band-over" />
        </svg>
        beyond the return day
      </li>
      <li>
        <svg width="34" height="14" aria-hidden="true">
          <path d="M1 1h32v12h-32z" className="band-awaited" />
        </svg>
        may arrive
      </li>
      <li>
        <svg width="14" height="14" aria-hidden="true">
          <path d={diamond(7, 7)} className="band-embargo" />
        </svg>
        embargo ends
      </li>
    </ul>
  );
}
