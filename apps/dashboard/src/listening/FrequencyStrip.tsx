/** A range of frequencies, dragged on a small logarithmic strip or moved by keys, an end at a time. */
import { useRef, type KeyboardEvent, type PointerEvent } from 'react';
import { formatFrequency } from '../words/numbers.js';
import {
  between,
  HIGHEST_HZ,
  hzAt,
  keyMove,
  LOWEST_HZ,
  placeOf,
  withEnd,
  type Range,
} from './frequencyScale.js';

const ticks = [50, 100, 200, 500, 1000, 2000, 5000, 10_000];
const labelled = new Set([100, 1000, 10_000]);
const percent = (hz: number): string => `${(100 * placeOf(hz)).toFixed(2)}%`;

export function FrequencyStrip(props: {
  label: string;
  range: Range | null;
  onChange: (range: Range) => void;
}) {
  const { range } = props;
  const strip = useRef<HTMLDivElement>(null);
  const anchor = useRef<number | null>(null);
  const hzUnder = (event: PointerEvent): number => {
    const { left = 0, width = 1 } = strip.current?.getBoundingClientRect() ?? {};
    return hzAt((event.clientX - left) / width);
  };
  const begin = (event: PointerEvent) => {
    const hz = hzUnder(event);
    // Near an end one takes hold of that end; elsewhere a new range begins.
    const near = range && nearEnd(range, hz);
    anchor.current = near === 'from' ? (range?.toHz ?? hz) : near === 'to' ? (range?.fromHz ?? hz) : hz;
    event.currentTarget.setPointerCapture(event.pointerId);
    if (!near) props.onChange(between(hz, hz));
  };
  const drag = (event: PointerEvent) => {
    if (anchor.current !== null) props.onChange(between(anchor.current, hzUnder(event)));
  };
  const end = () => {
    anchor.current = null;
  };
  return (
    <fieldset className="strip" aria-label={props.label}>
      <div
        className="strip-bed"
        ref={strip}
        onPointerDown={begin}
        onPointerMove={drag}
        onPointerUp={end}
        onPointerCancel={end}
      >
        {ticks.map((hz) => (
          <span key={hz} className="strip-tick" style={{ insetInlineStart: percent(hz) }} aria-hidden="true">
            {labelled.has(hz) && <span className="strip-label num">{hz >= 1000 ? `${hz / 1000}k` : hz}</span>}
          </span>
        ))}
        {range && (
          <span
            className="strip-range"
            aria-hidden="true"
            style={{
              insetInlineStart: percent(range.fromHz),
              inlineSize: `${Math.max(0.6, 100 * (placeOf(range.toHz) - placeOf(range.fromHz))).toFixed(2)}%`,
            }}
          />
        )}
        {(['from', 'to'] as const).map((which) => (
          <Handle key={which} which={which} label={props.label} range={range} onChange={props.onChange} />
        ))}
      </div>
    </fieldset>
  );
}

/** Where a strip without a range begins when it is moved by keys. */
const middle: Range = { fromHz: 500, toHz: 1000 };

function Handle(props: {
  which: 'from' | 'to';
  label: string;
  range: Range | null;
  onChange: (range: Range) => void;
}) {
  const { which, range } = props;
  const shown = range ?? middle;
  const hz = which === 'from' ? shown.fromHz : shown.toHz;
  const press = (event: KeyboardEvent) => {
    const moved = keyMove(event.key, hz);
    if (moved === undefined) return;
    event.preventDefault();
    props.onChange(withEnd(shown, which, moved));
  };
  return (
    <span
      className="strip-handle"
      data-which={which}
      data-unset={range === null || undefined}
      style={{ insetInlineStart: percent(hz) }}
      // Two ends on one bed: a native slider has one.
      // oxlint-disable-next-line jsx-a11y/prefer-tag-over-role
      role="slider"
      tabIndex={0}
      aria-label={`${props.label}: ${which === 'from' ? 'from' : 'up to'}`}
      aria-valuemin={LOWEST_HZ}
      aria-valuemax={HIGHEST_HZ}
      aria-valuenow={hz}
      aria-valuetext={range ? formatFrequency(hz) : `not set, ${formatFrequency(hz)}`}
      onKeyDown={press}
    />
  );
}

const NEAR = 0.035;
function nearEnd({ fromHz, toHz }: Range, hz: number): 'from' | 'to' | undefined {
  const [toFrom, toTo] = [Math.abs(placeOf(hz) - placeOf(fromHz)), Math.abs(placeOf(hz) - placeOf(toHz))];
  if (Math.min(toFrom, toTo) > NEAR) return undefined;
  return toFrom < toTo || (toFrom === toTo && hz < fromHz) ? 'from' : 'to';
}
