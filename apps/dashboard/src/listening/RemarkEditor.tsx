/** One remark: too much or too little, where in frequency, how strongly, and when. */
import { ChoiceField, IconButton, TextField } from '../kit/index.js';
import { formatFrequency, parseNumber } from '../words/numbers.js';
import { severityWords, signWords, type Remark } from './descriptors.js';

const signs = (['excess', 'lack', 'neutral'] as const).map((sign) => ({
  value: sign,
  words: signWords[sign],
}));
const severities = severityWords.map((words, index) => ({ value: String(index + 1), words }));

export function RemarkEditor(props: {
  remark: Remark;
  onChange: (remark: Remark) => void;
  onRemove: () => void;
}) {
  const { remark } = props;
  const set = (part: Partial<Remark>) => props.onChange({ ...remark, ...part });
  return (
    <li className="remark stack">
      <div className="row apart">
        <strong>{remark.descriptor ?? 'In my own words'}</strong>
        <IconButton
          icon="cross"
          label={`Remove this remark: ${remark.descriptor ?? remark.text}`}
          onPress={props.onRemove}
        />
      </div>
      <ChoiceField label="Is it" value={remark.sign} options={signs} onChange={(sign) => set({ sign })} />
      <ChoiceField
        label="How strong"
        value={String(remark.severity)}
        options={severities}
        onChange={(severity) => set({ severity: Number(severity) })}
      />
      <div className="remark-range">
        <HzField
          label="From"
          value={remark.fromHz}
          onChange={(fromHz) => props.onChange(withHz(remark, 'fromHz', fromHz))}
        />
        <HzField
          label="To"
          value={remark.toHz}
          onChange={(toHz) => props.onChange(withHz(remark, 'toHz', toHz))}
        />
      </div>
      <TextField
        label="What was playing, which side"
        value={remark.position ?? ''}
        onChange={(position) => set({ position })}
      />
      <TextField label="In words" value={remark.text} onChange={(text) => set({ text })} />
    </li>
  );
}

function withHz(remark: Remark, key: 'fromHz' | 'toHz', hz: number | null): Remark {
  const { [key]: _was, ...rest } = remark;
  return hz === null ? rest : { ...rest, [key]: hz };
}

function HzField(props: { label: string; value: number | undefined; onChange: (hz: number | null) => void }) {
  const text = props.value === undefined ? '' : String(props.value);
  return (
    <TextField
      label={props.label}
      inputMode="decimal"
      unit="Hz"
      value={text}
      hint={props.value === undefined ? undefined : formatFrequency(props.value)}
      onChange={(typed) => {
        const hz = parseNumber(typed);
        if (hz === null || (Number.isFinite(hz) && hz > 0)) props.onChange(hz);
      }}
    />
  );
}
