/** Something the reader must see here and now: a caution, a refusal, a remark. */
import { Icon, type IconName } from './Icon.js';
import { refusalOf } from '../words/refusals.js';

export type NoticeTone = 'plain' | 'caution' | 'wrong';
const icons: Readonly<Record<NoticeTone, IconName>> = {
  plain: 'clock',
  caution: 'warning',
  wrong: 'blocked',
};

export function Notice(props: {
  tone?: NoticeTone;
  icon?: IconName;
  title?: React.ReactNode;
  children?: React.ReactNode;
  /** Read aloud when it appears. */
  alert?: boolean;
}) {
  const tone = props.tone ?? 'plain';
  return (
    <div className={`notice notice-${tone}`} role={props.alert ? 'alert' : undefined}>
      <Icon name={props.icon ?? icons[tone]} />
      <div className="notice-words">
        {props.title && <strong>{props.title}</strong>}
        {props.children}
      </div>
    </div>
  );
}

/**
 * Why something was refused and what to do; nothing while there is no error.
 * @param props.marked the form shows each field's message at the field
 */
export function Refusal(props: { error: unknown; marked?: boolean }) {
  if (props.error === null || props.error === undefined) return null;
  const refusal = refusalOf(props.error);
  const fields = refusal.fields ?? [];
  const unmet = refusal.conditions?.filter((condition) => !condition.met) ?? [];
  if (fields.length > 0 && props.marked) {
    return <Notice tone="wrong" alert title="Not kept yet: look at the marked fields." />;
  }
  return (
    <Notice tone="wrong" alert title={fields.length > 0 ? 'Not kept yet.' : refusal.message}>
      {refusal.remedy && <p>{refusal.remedy}</p>}
      {unmet.length > 0 && <Sentences of={unmet.map((condition) => condition.sentence)} />}
      {fields.length > 0 && <Sentences of={fields.map((field) => field.message)} />}
    </Notice>
  );
}

function Sentences({ of }: { of: readonly string[] }) {
  return (
    <ul>
      {of.map((sentence) => (
        <li key={sentence}>{sentence}</li>
      ))}
    </ul>
  );
}

export function Cautions(props: { cautions: readonly string[] }) {
  if (props.cautions.length === 0) return null;
  return (
    <Notice tone="caution" title={props.cautions.length === 1 ? 'Caution' : 'Cautions'}>
      {props.cautions.length === 1 ? (
        <p>{props.cautions[0]}</p>
      ) : (
        <ul>
          {props.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
    </Notice>
  );
}
