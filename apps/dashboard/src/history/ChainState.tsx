/** Whether the history is as it was written: what the last check found, and what to write down elsewhere. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { CheckHistory, HistoryBreak, HistoryChainView } from '../contracts.js';
import { Button, CopyText, Icon, Instant, Notice, Refusal, TextField } from '../kit/index.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

const breakWords: Readonly<Record<HistoryBreak, string>> = {
  changed: 'What it says was changed after it was written.',
  removed: 'It is gone.',
  'out-of-order': 'It does not follow the one before it: it was moved, or its time was changed.',
  added: 'A line was put in that the house did not write.',
  'cut-off': 'It and what came after it are gone.',
  rewritten: 'It is not the line that stood there when its number and hash were written down.',
  'erased-unsaid': 'It was erased without the history saying so.',
};

export function ChainState() {
  const client = useQueryClient();
  const chain = useQuery(queries.historyChain()).data;
  const checking = useMutation({
    mutationFn: (ask: CheckHistory) => api.checkHistory(ask),
    onSuccess: (now) => client.setQueryData(keys.historyChain, now),
  });
  if (!chain) return null;
  return (
    <section className="stack history-chain" aria-label="Whether the history holds">
      <Finding chain={chain} />
      <div className="row">
        <Button busy={checking.isPending} onPress={() => checking.mutate({})}>
          Check now
        </Button>
      </div>
      <Refusal error={checking.error} />
      <details>
        <summary>Write it down elsewhere</summary>
        <div className="stack">
          <p className="small soft">
            Every line carries a hash (SHA-256) over the one before it. Whoever could change the database
            could write all of it anew; who keeps a number and its hash elsewhere notices that, too. Each
            backup keeps them.
          </p>
          <CopyText
            label={`Hash of line ${chain.number}, the newest`}
            value={`${chain.number} ${chain.hash}`}
          />
          <Compare check={(ask) => checking.mutate(ask)} error={checking.error} />
        </div>
      </details>
    </section>
  );
}

function Finding({ chain: { checked } }: { chain: HistoryChainView }) {
  if (!checked) return <p className="small soft">The history has not been checked yet.</p>;
  const { at, by, number, broken } = checked;
  const when = (
    <>
      checked by {by} <Instant at={at} />
    </>
  );
  if (broken) {
    return (
      <Notice tone="wrong" title={`The history does not hold at line ${broken.number}`}>
        <p>
          {breakWords[broken.how]} Up to there it is as it was written; {when}. Compare with a backup from
          before.
        </p>
      </Notice>
    );
  }
  return (
    <p className="small">
      <Icon name="check" size={16} /> Nothing was changed or removed in {number}{' '}
      {number === 1 ? 'line' : 'lines'}; {when}.
    </p>
  );
}

function Compare({ check, error }: { check: (ask: CheckHistory) => void; error: unknown }) {
  const [text, setText] = useState('');
  const [wrong, setWrong] = useState<string>();
  const refusal = error ? refusalOf(error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const written = /^(\d+)\s+([0-9a-f]{64})$/i.exec(text.trim());
    setWrong(written ? undefined : 'Give the number, a space and the 64 characters of its hash.');
    if (written) check({ written: { number: Number(written[1]), hash: written[2] ?? '' } });
  };
  return (
    <form className="form narrow" onSubmit={submit}>
      <TextField
        wide
        label="Number and hash you wrote down"
        value={text}
        error={wrong ?? fieldMessage(refusal, 'written.hash')}
        onChange={setText}
      />
      <div className="form-foot">
        <Button type="submit">Compare</Button>
      </div>
    </form>
  );
}
