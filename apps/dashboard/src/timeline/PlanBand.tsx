/** One loan's band, and beneath it each step of its plan on the same days. The words beside say the same. */
import type { LoanView, PlanStepView } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { dayInZone, dayNumber } from '../words/dates.js';
import { bandDays, bandShape, windowOf, xOf, type BandDays, type DayWindow } from './bandShape.js';
import { calendarMarks } from './calendarMarks.js';
import '../styles/timeline.css';

const BAND_PX = 44;
const AXIS_PX = 24;
const STEP_PX = 10;

/** The days a loan's plan is drawn over, its width on the page, and where now is. */
export interface PlanScale {
  readonly days: BandDays;
  readonly window: DayWindow;
  readonly width: number;
  readonly nowX: number;
}

export function usePlanScale(loan: LoanView, width: number): PlanScale | null {
  const now = useNow();
  const days = bandDays(loan);
  if (!days || width === 0) return null;
  const today = dayNumber(dayInZone(now));
  const window = windowOf([days], today, 21);
  const nowX = xOf(today + (now.getHours() * 60 + now.getMinutes()) / 1440, window, width);
  return { days, window, width, nowX };
}

export function PlanBand({ loan, scale }: { loan: LoanView; scale: PlanScale }) {
  const { days, window, width, nowX } = scale;
  const shape = bandShape(days, window, width, BAND_PX);
  return (
    <svg
      className="plan-band timeline-row"
      data-urgency={loan.plan.urgency}
      width={width}
      height={AXIS_PX + BAND_PX + 4}
      aria-hidden="true"
    >
      {calendarMarks(window, width).map((mark) => (
        <text
          key={mark.day}
          x={xOf(mark.day, window, width) + (mark.month ? 4 : 0)}
          y={15}
          className={mark.month ? 'timeline-month-name' : 'timeline-week'}
        >
          {mark.text}
        </text>
      ))}
      <g transform={`translate(0 ${AXIS_PX})`}>
        <path d={shape.awaited} className="band-awaited" />
        <path d={shape.slack} className="band-slack" />
        <path d={shape.work} className="band-work" />
        <path d={shape.over} className="band-over" />
        {shape.embargoX !== null && (
          <path d={`M${shape.embargoX} ${BAND_PX / 2 - 7}l7 7-7 7-7-7z`} className="band-embargo" />
        )}
        {shape.returnX !== null && (
          <line x1={shape.returnX} x2={shape.returnX} y1={0} y2={BAND_PX + 4} className="band-return" />
        )}
      </g>
      <line x1={nowX} x2={nowX} y1={AXIS_PX - 4} y2={AXIS_PX + BAND_PX + 4} className="timeline-now" />
    </svg>
  );
}

/** One step: when it is planned, and how far it could slip. */
export function StepTrack({ step, scale }: { step: PlanStepView; scale: PlanScale }) {
  if (!step.start || !step.finish) return null;
  const { window, width, nowX, days } = scale;
  const x = (instant: string) => xOf(Date.parse(instant) / 86_400_000, window, width);
  const from = x(step.start);
  const to = Math.max(from + 3, x(step.finish));
  const spare = Math.max(0, step.slackHours ?? 0) / 24;
  const spareTo = to + xOf(window.from + spare, window, width);
  const returnX = days.returnBy === null ? null : xOf(days.returnBy, window, width);
  return (
    <svg className="plan-track" width={width} height={STEP_PX} aria-hidden="true">
      <line x1={0} x2={width} y1={STEP_PX / 2} y2={STEP_PX / 2} className="plan-ground" />
      {spare > 0 && <line x1={to} x2={spareTo} y1={STEP_PX / 2} y2={STEP_PX / 2} className="plan-spare" />}
      <rect x={from} y={2} width={to - from} height={STEP_PX - 4} className="plan-bar" />
      {returnX !== null && <line x1={returnX} x2={returnX} y1={0} y2={STEP_PX} className="band-return" />}
      <line x1={nowX} x2={nowX} y1={0} y2={STEP_PX} className="timeline-now" />
    </svg>
  );
}
