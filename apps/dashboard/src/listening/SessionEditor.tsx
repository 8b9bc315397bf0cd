/** Writing down what one hears. Made for a phone in the listening room. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { ListeningView, UnitView } from '../contracts.js';
import { Button, Dialog, Icon, Notice, Refusal, TextArea, TextField } from '../kit/index.js';
import { parseNumber } from '../words/numbers.js';
import { descriptors, remarkFrom, signWords, type Descriptor, type Remark } from './descriptors.js';
import { levelCaution } from './noise.js';
import { RemarkEditor } from './RemarkEditor.js';
import { useSessionDraft, type DraftState } from './useSessionDraft.js';

export function SessionEditor(props: {
  session: ListeningView;
  unit: UnitView;
  onChanged: () => Promise<void>;
}) {
  const { session, unit } = props;
  const { draft, change, state, why, version } = useSessionDraft(session);
  const [sealing, setSealing] = useState(false);
  const [level, setLevel] = useState(draft.levelDb === null ? '' : String(draft.levelDb));
  const typedLevel = parseNumber(level);
  const caution = typedLevel === null ? null : levelCaution(typedLevel);
  const setRemark = (remark: Remark) =>
    change({ remarks: draft.remarks.map((each) => (each.id === remark.id ? remark : each)) });
  const add = (descriptor: Descriptor | null) =>
    change({ remarks: [...draft.remarks, remarkFrom(descriptor, freshId())] });
  return (
    <section className="session stack" aria-labelledby="session">
      <div className="row apart">
        <h2 id="session">Your session</h2>
        <Kept state={state} why={why} />
      </div>
      <div className="form">
        <TextField
          label="Heard on"
          type="date"
          required
          value={draft.heardOn}
          onChange={(heardOn) => change({ heardOn })}
        />
        <TextField
          label="Level at the seat"
          inputMode="decimal"
          unit="dBA"
          value={level}
          error={Number.isNaN(typedLevel) ? 'Write a number, such as 78.' : undefined}
          onChange={(text) => {
            setLevel(text);
            const levelDb = parseNumber(text);
            if (!Number.isNaN(levelDb)) change({ levelDb });
          }}
        />
        <TextArea
          wide
          label="Placement"
          rows={2}
          hint="Distance to the walls, toe-in, height of the tweeter, distance to the seat."
          value={draft.placement}
          onChange={(placement) => change({ placement })}
        />
      </div>
      {caution && <Notice tone="caution" title={caution} />}
      <div className="stack">
        <h3>What do you hear?</h3>
        <DescriptorPad onAdd={add} />
      </div>
      <ol className="remarks">
        {draft.remarks.toReversed().map((remark) => (
          <RemarkEditor
            key={remark.id}
            remark={remark}
            onChange={setRemark}
            onRemove={() => change({ remarks: draft.remarks.filter((each) => each.id !== remark.id) })}
          />
        ))}
      </ol>
      <div className="row">
        <Button
          look="main"
          icon="lock"
          isDisabled={state !== 'sent' || draft.remarks.length === 0}
          onPress={() => setSealing(true)}
        >
          Seal the session
        </Button>
        {draft.remarks.length === 0 && <span className="small soft">Write at least one remark first.</span>}
      </div>
      {sealing && (
        <SealDialog
          session={session}
          version={version}
          blind={!unit.dataOpened}
          onClose={() => setSealing(false)}
          onSealed={props.onChanged}
        />
      )}
    </section>
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

function Kept({ state, why }: { state: DraftState; why: string }) {
  const words: Readonly<Record<DraftState, string>> = {
    sent: 'Kept',
    unsent: 'Keeping…',
    sending: 'Keeping…',
    waiting: 'No network: kept on this device, sent as soon as it is back',
    refused: `Not kept on the server: ${why}`,
  };
  return (
    <output className="small soft">
      {state === 'sent' && <Icon name="check" size={15} />} {words[state]}
    </output>
  );
}

function SealDialog(props: {
  session: ListeningView;
  version: number;
  blind: boolean;
  onClose: () => void;
  onSealed: () => Promise<void>;
}) {
  const sealing = useMutation({
    mutationFn: () => api.sealListening(props.session.id, { version: props.version }),
    onSuccess: async () => {
      props.onClose();
      await props.onSealed();
    },
  });
  return (
    <Dialog title="Seal this session" open onClose={props.onClose}>
      <p>
        Sealed, its words are fingerprinted with the time and can’t be changed any more. What you add later is
        a session of its own.
      </p>
      <p>
        {props.blind
          ? 'You have not opened this unit’s data: it counts as blind.'
          : 'You have opened this unit’s data: it does not count as blind.'}
      </p>
      <Refusal error={sealing.error} />
      <div className="row">
        <Button look="main" icon="lock" busy={sealing.isPending} onPress={() => sealing.mutate()}>
          Seal it
        </Button>
        <Button onPress={props.onClose}>Write on</Button>
      </div>
    </Dialog>
  );
}

/** Unique among one session's remarks; needs no secure context, which a listening room's plain network is not. */
function freshId(): string {
  return `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
}
