/** A week's hours to edit: those that stand otherwise, or lines of one's own. */
import type { WeeklyHours } from '../contracts.js';
import { ChoiceField, TextField } from '../kit/index.js';
import { HOURS_HINT, hoursOf, linesOf, weekdays } from './hoursText.js';

export interface HoursDraft {
  readonly own: boolean;
  readonly lines: readonly string[];
}

/** @param fallback what the lines begin with when there are none of one's own */
export const hoursDraft = (
  hours: readonly WeeklyHours[] | null,
  fallback: readonly WeeklyHours[],
): HoursDraft => ({ own: hours !== null, lines: linesOf(hours ?? fallback) });

/** What the draft says to the server; undefined when a line cannot be read. */
export function draftHours({ own, lines }: HoursDraft): WeeklyHours[] | null | undefined {
  if (!own) return null;
  const { hours, wrong } = hoursOf(lines);
  return wrong.some((one) => one !== undefined) ? undefined : hours;
}

export function HoursFields(props: {
  label: string;
  /** In words what holds without hours of one's own: `Mon to Fri 09:00-18:00`. */
  otherwise: string;
  /** What hours of one's own are called. */
  own?: string;
  draft: HoursDraft;
  onChange: (draft: HoursDraft) => void;
}) {
  const { draft, onChange } = props;
  const { wrong } = hoursOf(draft.lines);
  return (
    <fieldset className="stack hours-fields">
      <legend>
        <strong>{props.label}</strong>
      </legend>
      <ChoiceField
        label={<span className="hidden">{props.label}: which</span>}
        value={draft.own ? 'own' : 'usual'}
        options={[
          { value: 'usual', words: props.otherwise },
          { value: 'own', words: props.own ?? 'Hours of its own' },
        ]}
        onChange={(which) => onChange({ ...draft, own: which === 'own' })}
      />
      {draft.own && (
        <>
          <p className="small soft">{HOURS_HINT} An empty day is closed.</p>
          <div className="hours-lines">
            {weekdays.map((name, at) => (
              <TextField
                key={name}
                label={name}
                value={draft.lines[at] ?? ''}
                error={wrong[at]}
                placeholder="closed"
                onChange={(line) =>
                  onChange({ ...draft, lines: draft.lines.map((one, i) => (i === at ? line : one)) })
                }
              />
            ))}
          </div>
        </>
      )}
    </fieldset>
  );
}
