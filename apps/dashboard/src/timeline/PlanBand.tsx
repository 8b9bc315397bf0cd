/** One loan's band with its steps standing in it. The list beside it says the same in words. */
import type { LoanView } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { dayInZone, dayNumber } from '../words/dates.js';
import { bandDays, bandShape, windowOf, xOf } from './bandShape.js';
import { calendarMarks } from './calendarMarks.js';
import { useWidth } from './useWidth.js';
import '../styles/timeline.css';

const BAND_PX = 44;
const STEP_PX = 9;

export function PlanBand({ loan }: { loan: LoanView }) {
  const now = useNow();
  const [ref, width] = useWidth();
  const days = bandDays(loan);
  const steps = loan.plan.steps.filter((step) => step.start && step.finish);
  if (!days) return null;
  const today = dayNumber(dayInZone(now));
  const window = windowOf([days], today, 21);
  const shape = bandShape(days, window, width, BAND_PX);
  const x = (instant: string) => xOf(Date.parse(instant) / 86_400_000, window, width);
  const height = 26 + BAND_PX + 8 + steps.length * STEP_PX + 6;
  const nowX = xOf(today + (now.getHours() * 60 + now.getMinutes()) / 1440, window, width);
  return (
    <div ref={ref} className="plan-band timeline-row" data-urgency={loan.plan.urgency}>
      {width > 0 && (
        <svg width={width} height={height} aria-hidden="true">
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
          <g transform="translate(0 26)">
            <path d={shape.awaited} className="band-awaited" />
            <path d={shape.slack} className="band-slack" />
            <path d={shape.work} className="band-work" />
            <path d={shape.over} className="band-over" />
            {shape.embargoX !== null && (
              <path d={`M${shape.embargoX} ${BAND_PX / 2 - 7}l7 7-7 7-7-7z`} className="band-embargo" />
            )}
            {shape.returnX !== null && (
              <line x1={shape.returnX} x2={shape.returnX} y1={0} y2={height} className="band-return" />
            )}
          </g>
          {steps.map((step, index) => {
            const y = 26 + BAND_PX + 8 + index * STEP_PX;
            const from = x(step.start!);
            const to = Math.max(from + 3, x(step.finish!));
            const spareTo =
              step.slackHours && step.slackHours > 0
                ? to + xOf(step.slackHours / 24 + window.from, window, width)
                : to;
            return (
              <g key={`${step.code} ${step.unitId ?? ''}`}>
                <line x1={to} x2={spareTo} y1={y + 2.5} y2={y + 2.5} className="plan-spare" />
                <rect
                  x={from}
                  y={y}
                  width={to - from}
                  height={5}
                  className={step.done ? 'plan-bar plan-bar-done' : 'plan-bar'}
                />
              </g>
            );
          })}
          <line x1={nowX} x2={nowX} y1={20} y2={height} className="timeline-now" />
        </svg>
      )}
    </div>
  );
}
