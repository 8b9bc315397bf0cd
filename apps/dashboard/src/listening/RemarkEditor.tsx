/** One remark: too much or too little, where in frequency, how strongly, which side, and when it was written. */
import { useState } from 'react';
import { Button, ChoiceField, IconButton, TextField } from '../kit/index.js';
import { formatFrequencyRange } from '../words/numbers.js';
import { severityWords, sideWords, signWords, type Remark } from './descriptors.js';
import { FrequencyStrip } from './FrequencyStrip.js';
import type { Range } from './frequencyScale.js';

const signs = (['excess', 'lack', 'neutral'] as const).map((sign) => ({
  value: sign,
  words: signWords[sign],
}));
const severities = severityWords.map((words, index) => ({ value: String(index + 1), words }));
const sides = [
  { value: 'unsaid', words: 'not said' },
  ...(['left', 'right', 'both'] as const).map((side) => ({ value: side, words: sideWords[side] })),
] as const;

export function RemarkEditor(props: {
  remark: Remark;
  open: boolean;
  onOpen: () => void;
  onChange: (remark: Remark) => void;
  onRemove: () => void;
}) {
  const { remark } = props;
  const name = remark.descriptor ?? (remark.text === '' ? 'In my own words' : remark.text);
  return (
    <li className="remark stack">
      <div className="row apart">
        <button type="button" className="remark-name" aria-expanded={props.open} onClick={props.onOpen}>
          <strong>{name}</strong> <span className="soft small">{summaryOf(remark)}</span>
        </button>
        <IconButton icon="cross" label={`Remove this remark: ${name}`} onPress={props.onRemove} />
      </div>
      {props.open && <RemarkFields {...props} name={name} />}
    </li>
  );
}

function RemarkFields(props: { remark: Remark; name: string; onChange: (remark: Remark) => void }) {
  const { remark } = props;
  const [more, setMore] = useState(remark.position !== undefined || remark.playing !== undefined);
  const set = (part: Partial<Remark>) => props.onChange({ ...remark, ...part });
  return (
    <>
      <ChoiceField label="Is it" value={remark.sign} options={signs} onChange={(sign) => set({ sign })} />
      <ChoiceField
        label="How strong"
        value={String(remark.severity)}
        options={severities}
        onChange={(severity) => set({ severity: Number(severity) })}
      />
      <div>
        <div className="row apart small">
          <span>
            Where: <output className="num">{rangeOf(remark) ? rangeWords(remark) : 'not said'}</output>
          </span>
          {rangeOf(remark) && (
            <button type="button" className="as-link" onClick={() => props.onChange(withoutRange(remark))}>
              Leave it open
            </button>
          )}
        </div>
        <FrequencyStrip
          label={`Range of ${props.name}`}
          range={rangeOf(remark)}
          onChange={(range) => set(range)}
        />
      </div>
      <TextField label="In words" value={remark.text} onChange={(text) => set({ text })} />
      {more ? (
        <>
          <ChoiceField
            label="Side"
            value={remark.side ?? 'unsaid'}
            options={sides}
            onChange={(side) => props.onChange(side === 'unsaid' ? withoutSide(remark) : { ...remark, side })}
          />
          <TextField
            label="What was playing"
            value={remark.playing ?? ''}
            onChange={(playing) => set({ playing })}
          />
          <TextField
            label="Seat, angle, how it was turned"
            value={remark.position ?? ''}
            onChange={(position) => set({ position })}
          />
        </>
      ) : (
        <div>
          <Button look="quiet" icon="plus" onPress={() => setMore(true)}>
            Side, what was playing, seat
          </Button>
        </div>
      )}
    </>
  );
}

const rangeOf = ({ fromHz, toHz }: Remark): Range | null =>
  fromHz === undefined || toHz === undefined ? null : { fromHz, toHz };
const rangeWords = (remark: Remark): string => formatFrequencyRange(remark.fromHz ?? 0, remark.toHz ?? 0);

function withoutRange({ fromHz: _from, toHz: _to, ...rest }: Remark): Remark {
  return rest;
}
function withoutSide({ side: _side, ...rest }: Remark): Remark {
  return rest;
}

function summaryOf(remark: Remark): string {
  return [
    signWords[remark.sign],
    severityWords[remark.severity - 1] ?? '',
    ...(rangeOf(remark) ? [rangeWords(remark)] : []),
    ...(remark.side ? [sideWords[remark.side]] : []),
  ].join(', ');
}
