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

/** Why something was refused and what to do; nothing while there is no error. */
export function Refusal(props: { error: unknown }) {
  if (props.error === null || props.error === undefined) return null;
  const refusal = refusalOf(props.error);
  const others = refusal.fields?.filter((field) => field.message !== refusal.message) ?? [];
  return (
    <Notice tone="wrong" alert title={refusal.message}>
      {refusal.remedy && <p>{refusal.remedy}</p>}
      {refusal.conditions && (
        <ul>
          {refusal.conditions
            .filter((condition) => !condition.met)
            .map((condition) => (
              <li key={condition.code}>{condition.sentence}</li>
            ))}
        </ul>
      )}
      {others.length > 0 && (
        <ul>
          {others.map((field) => (
            <li key={field.path}>{field.message}</li>
          ))}
        </ul>
      )}
    </Notice>
  );
}

export function Cautions(props: { cautions: readonly string[] }) {
  if (props.cautions.length === 0) return null;
  return (
    <Notice tone="caution" title={props.cautions.length === 1 ? 'Caution' : 'Cautions'}>
      {props.cautions.length === 1 ? (
        <p>{props.cautions[0]}</p>
      ) : (
        <ul className="notice-list">
          {props.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
    </Notice>
  );
}
