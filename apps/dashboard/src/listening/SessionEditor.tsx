/** Writing down what one hears. Made for a phone in the listening room, and for a network that comes and goes. */
import { useState, type FormEvent } from 'react';
import { Button, Notice, TextArea, TextField } from '../kit/index.js';
import { parseNumber } from '../words/numbers.js';
import { descriptors, remarkFrom, signWords, type Descriptor, type Remark } from './descriptors.js';
import { freshId } from './freshId.js';
import type { Range } from './frequencyScale.js';
import { canKeepShell } from './keepShell.js';
import { KeptMark } from './KeptMark.js';
import { levelCaution } from './noise.js';
import { quickRemark } from './quickRemark.js';
import { RemarkEditor } from './RemarkEditor.js';
import { TonePlayer } from './TonePlayer.js';
import type { WrittenSession } from './useKeptSession.js';

export function SessionEditor(props: { written: WrittenSession; children?: React.ReactNode }) {
  const { kept, state, change, forgetClashes } = props.written;
  const { draft } = kept;
  const [open, setOpen] = useState<string | null>(null);
  const put = (remark: Remark) =>
    change((was) => ({
      ...was,
      remarks: was.remarks.some(({ id }) => id === remark.id)
        ? was.remarks.map((each) => (each.id === remark.id ? remark : each))
        : [...was.remarks, remark],
    }));
  const add = (remark: Remark) => {
    put(remark);
    setOpen(remark.id);
  };
  const useRange = (range: Range) => {
    const remark = draft.remarks.find(({ id }) => id === open);
    if (remark) put({ ...remark, ...range });
    else add({ ...remarkFrom(null, freshId()), at: now(), ...range });
  };
  return (
    <section className="session stack" aria-labelledby="session">
      <div className="row apart session-head">
        <h2 id="session">Your session</h2>
        <KeptMark state={state} why={kept.refused} />
      </div>
      {state === 'kept-here' && !canKeepShell() && (
        <p className="small soft">
          Leave this page open until it is sent: over this connection the browser cannot load it anew without
          a network. What you wrote stays on this device either way.
        </p>
      )}
      {kept.clashes.length > 0 && (
        <Notice tone="caution" title="Also written on another device: both are kept.">
          <p>Look at {kept.clashes.join('; ')}.</p>
          <Button onPress={forgetClashes}>I have looked</Button>
        </Notice>
      )}
      <div className="stack">
        <h3>What do you hear?</h3>
        <QuickLine onAdd={add} />
        <DescriptorPad onAdd={(descriptor) => add({ ...remarkFrom(descriptor, freshId()), at: now() })} />
      </div>
      <ol className="remarks" aria-label="Remarks">
        {draft.remarks.toReversed().map((remark) => (
          <RemarkEditor
            key={remark.id}
            remark={remark}
            open={open === remark.id}
            onOpen={() => setOpen(open === remark.id ? null : remark.id)}
            onChange={put}
            onRemove={() =>
              change((was) => ({ ...was, remarks: was.remarks.filter((each) => each.id !== remark.id) }))
            }
          />
        ))}
      </ol>
      <TonePlayer
        onUse={useRange}
        useWords={
          draft.remarks.some(({ id }) => id === open)
            ? 'Use this frequency in the open remark'
            : 'A remark on this frequency'
        }
      />
      <Circumstances written={props.written} />
      {props.children}
    </section>
  );
}

const now = (): string => new Date().toISOString();

function QuickLine({ onAdd }: { onAdd: (remark: Remark) => void }) {
  const [line, setLine] = useState('');
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (line.trim() === '') return;
    onAdd(quickRemark(line, freshId(), now()));
    setLine('');
  };
  return (
    <form className="quick-line" onSubmit={submit}>
      <TextField
        label="In one line"
        hint="Such as: boomy 4 left, or: less 2-4k brass. A digit is how strong."
        value={line}
        onChange={setLine}
      />
      <Button type="submit" icon="plus">
        Add
      </Button>
    </form>
  );
}

function DescriptorPad({ onAdd }: { onAdd: (descriptor: Descriptor | null) => void }) {
  return (['excess', 'lack', 'neutral'] as const).map((sign) => (
    <fieldset key={sign} className="pad">
      <legend className="small soft pad-name">{sign === 'neutral' ? 'other' : signWords[sign]}</legend>
      {descriptors
        .filter((each) => each.sign === sign)
        .map((each) => (
          <Button key={each.word} onPress={() => onAdd(each)}>
            {each.word}
          </Button>
        ))}
      {sign === 'neutral' && <Button onPress={() => onAdd(null)}>in my own words</Button>}
    </fieldset>
  ));
}

/** Where, how loud, with what: as far as it matters to whoever reads the remarks. */
function Circumstances({ written }: { written: WrittenSession }) {
  const { draft } = written.kept;
  const [level, setLevel] = useState(draft.levelDb === null ? '' : String(draft.levelDb));
  const typedLevel = parseNumber(level);
  const wrong = typedLevel !== null && !(typedLevel >= 30 && typedLevel <= 120);
  const caution = typedLevel === null ? null : levelCaution(typedLevel);
  const set = (part: Partial<typeof draft>) => written.change((was) => ({ ...was, ...part }));
  return (
    <section className="stack" aria-labelledby="circumstances">
      <h3 id="circumstances">Where, how loud, with what</h3>
      <div className="form">
        <TextField
          label="Heard on"
          type="date"
          required
          value={draft.heardOn}
          onChange={(heardOn) => {
            if (heardOn !== '') set({ heardOn });
          }}
        />
        <TextField
          label="Level at the seat"
          inputMode="decimal"
          unit="dBA"
          value={level}
          error={wrong ? 'Write a level between 30 and 120, such as 78.' : undefined}
          onChange={(text) => {
            setLevel(text);
            const levelDb = parseNumber(text);
            if (levelDb === null || (levelDb >= 30 && levelDb <= 120)) set({ levelDb });
          }}
        />
        <TextArea
          wide
          label="Placement"
          rows={2}
          hint="Distance to the walls, toe-in, height of the tweeter, distance to the seat."
          value={draft.placement}
          onChange={(placement) => set({ placement })}
        />
        <TextArea
          wide
          label="Sources"
          rows={2}
          hint="What was played, and from what."
          value={draft.sources}
          onChange={(sources) => set({ sources })}
        />
        <TextArea wide label="Free words" rows={4} value={draft.words} onChange={(words) => set({ words })} />
      </div>
      {caution && <Notice tone="caution" icon="warning" title={caution} />}
    </section>
  );
}
