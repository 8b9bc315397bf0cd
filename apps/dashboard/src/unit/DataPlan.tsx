/** The checklist of data sets this kind of loudspeaker asks for. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { PlannedDataSetView, UnitView } from '../contracts.js';
import { Button, Dialog, Icon, Refusal, TextArea, type IconName } from '../kit/index.js';
import { inSentence } from '../words/numbers.js';

const states: Readonly<Record<PlannedDataSetView['state'], { icon: IconName; words: string }>> = {
  missing: { icon: 'cross', words: 'missing' },
  'in-work': { icon: 'clock', words: 'being computed' },
  faulty: { icon: 'warning', words: 'measure again' },
  complete: { icon: 'check', words: 'complete' },
  waived: { icon: 'minus', words: 'waived' },
  sealed: { icon: 'lock', words: 'sealed while you listen' },
};

export function DataPlan({ unit }: { unit: UnitView }) {
  const [waiving, setWaiving] = useState<PlannedDataSetView | null>(null);
  const open = unit.plan.filter((part) => part.state !== 'complete' && part.state !== 'waived').length;
  return (
    <section className="stack" aria-labelledby="data-plan">
      <div>
        <h2 id="data-plan">Measurement plan</h2>
        <p className="soft small">
          {unit.sealedForYou
            ? 'What became of it is sealed until you seal your listening session.'
            : open === 0
              ? 'Complete: nothing is missing.'
              : `${open} of ${unit.plan.length} still open before it may go back.`}
        </p>
      </div>
      <ul className="data-plan">
        {unit.plan.map((part) => (
          <li key={part.id} data-state={part.state}>
            <Icon name={states[part.state].icon} />
            <div>
              <strong>{part.title}</strong>{' '}
              <span className="small data-plan-state">{states[part.state].words}</span>
              {part.stillMissing !== '' && <div className="small">{sentence(part.stillMissing)}</div>}
              {part.state === 'missing' && <div className="small soft">{part.detail}</div>}
              {part.waivedWhy && <div className="small soft">{part.waivedWhy}</div>}
            </div>
            {part.state !== 'complete' && part.state !== 'sealed' && (
              <button type="button" className="as-link small" onClick={() => setWaiving(part)}>
                {part.state === 'waived' ? 'Ask for it' : 'Waive'}
                <span className="hidden"> {part.title}</span>
              </button>
            )}
          </li>
        ))}
      </ul>
      {waiving && <WaiveDialog unit={unit} part={waiving} onClose={() => setWaiving(null)} />}
    </section>
  );
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

function WaiveDialog(props: { unit: UnitView; part: PlannedDataSetView; onClose: () => void }) {
  const { unit, part } = props;
  const [why, setWhy] = useState('');
  const client = useQueryClient();
  const again = part.state === 'waived';
  const waiving = useMutation({
    mutationFn: () =>
      api.waiveDataSet(unit.id, part.code, { version: part.version, why: again ? null : why.trim() }),
    onSuccess: (changed) => {
      client.setQueryData(keys.unit(unit.id), changed);
      void client.invalidateQueries({ queryKey: keys.loan(unit.loanId) });
      props.onClose();
    },
  });
  return (
    <Dialog
      title={again ? `Ask for ${inSentence(part.title)} again` : `Waive ${inSentence(part.title)}`}
      open
      onClose={props.onClose}
    >
      {again ? (
        <p>It counts as missing again until it is measured.</p>
      ) : (
        <TextArea
          label="Why it is not needed for this unit"
          hint="Stands in the history and beside the checklist; at least ten characters."
          required
          value={why}
          onChange={setWhy}
        />
      )}
      <Refusal error={waiving.error} />
      <div className="row">
        <Button
          look="main"
          busy={waiving.isPending}
          isDisabled={!again && why.trim().length < 10}
          onPress={() => waiving.mutate()}
        >
          {again ? 'Ask for it again' : 'Waive it'}
        </Button>
        <Button onPress={props.onClose}>Leave it</Button>
      </div>
    </Dialog>
  );
}
