/** The fields of a record, to read. */
import { useToday } from '../kit/index.js';
import { dayInZone, dayNumber, relativeDays } from '../words/dates.js';
import { wordsOf, type FieldSpec, type FieldSpecs } from './fieldSpec.js';

export function RecordFacts<R>(props: { record: R; specs: FieldSpecs<R> }) {
  return (
    <dl className="facts">
      {props.specs.map((spec) => (
        <div key={spec.key} className={spec.kind === 'area' ? 'field-wide' : undefined}>
          <dt>{spec.label}</dt>
          <dd>
            <Fact record={props.record} spec={spec} />
          </dd>
        </div>
      ))}
    </dl>
  );
}

function Fact<R>({ record, spec }: { record: R; spec: FieldSpec<R> }) {
  const today = useToday();
  const words = wordsOf(record, spec, today);
  if (words === null) return <span className="soft">{spec.none ?? 'not set'}</span>;
  const value = record[spec.key] as unknown;
  if (spec.kind === 'day' || spec.kind === 'instant') {
    const day = spec.kind === 'day' ? String(value) : dayInZone(new Date(String(value)));
    return (
      <time dateTime={String(value)}>
        {words}, <span className="soft">{relativeDays(dayNumber(day) - dayNumber(today))}</span>
      </time>
    );
  }
  if (spec.kind === 'number' || spec.kind === 'whole' || spec.kind === 'money') {
    return <span title={String(value)}>{words}</span>;
  }
  if (spec.kind === 'link') {
    return (
      <a href={words} target="_blank" rel="noreferrer">
        {words}
      </a>
    );
  }
  return <span className="fact-text">{words}</span>;
}
