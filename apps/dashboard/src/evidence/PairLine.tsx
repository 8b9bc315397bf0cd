/** One pair: how well it fits and why, who decided what, and the means to decide otherwise. */
import { useState } from 'react';
import type { EvidenceFindingView, EvidencePairView, PairDecision } from '../contracts.js';
import { Button, Icon, Instant, Refusal, TextField } from '../kit/index.js';
import { decisionWords, fitWords } from './evidenceWords.js';
import { useDecide } from './useDecide.js';

export function PairLine(props: {
  unitId: string;
  pair: EvidencePairView;
  finding: EvidenceFindingView;
  /** The other side of the pair, as the list it stands in wants it named. */
  title: React.ReactNode;
  name: string;
}) {
  const { pair, finding, unitId } = props;
  const [note, setNote] = useState<string | null>(null);
  const deciding = useDecide(unitId);
  const decide = (decision: PairDecision, words = pair.note) => {
    deciding.mutate(
      { remarkId: pair.remarkId, finding, decision, note: words, version: pair.version },
      { onSuccess: () => setNote(null) },
    );
  };
  return (
    <div className="pair stack" data-decision={pair.decision}>
      <div>
        {props.title}{' '}
        <span className="small soft">
          <Icon
            name={pair.decision === 'refused' ? 'cross' : pair.decision === 'computed' ? 'curve' : 'check'}
            size={14}
          />{' '}
          {decisionWords[pair.decision]}
          {pair.by && pair.decision !== 'computed' ? ` by ${pair.by}` : ''}
        </span>
      </div>
      <p className="small">
        {pair.score !== null && (
          <>
            <meter className="fit" min={0} max={1} value={pair.score} aria-label={`Fit of ${props.name}`} />{' '}
            <span className="num">{pair.score.toFixed(2)}</span> {fitWords(pair.score)}.{' '}
          </>
        )}
        {pair.reason}
      </p>
      {pair.note !== '' && <p className="small soft">Note: {pair.note}</p>}
      <div className="row small">
        {pair.decision !== 'confirmed' && pair.decision !== 'added' && (
          <Button look="quiet" icon="check" onPress={() => decide('confirmed')}>
            Confirm<span className="hidden"> {props.name}</span>
          </Button>
        )}
        {pair.decision !== 'refused' && (
          <Button look="quiet" icon="cross" onPress={() => setNote(pair.note)}>
            Refuse<span className="hidden"> {props.name}</span>
          </Button>
        )}
        {pair.decision !== 'computed' && (
          <Button look="quiet" icon="back" onPress={() => decide('withdrawn', '')}>
            {pair.decision === 'added' ? 'Take it apart' : 'As computed'}
            <span className="hidden"> {props.name}</span>
          </Button>
        )}
      </div>
      {note !== null && (
        <form
          className="quick-line"
          onSubmit={(event) => {
            event.preventDefault();
            decide('refused', note);
          }}
        >
          <TextField label="Why they do not belong together" value={note} onChange={setNote} />
          <Button type="submit" busy={deciding.isPending}>
            Refuse the pair
          </Button>
        </form>
      )}
      {pair.history.length > 0 && (
        <details className="small">
          <summary>{pair.history.length === 1 ? 'One decision' : `${pair.history.length} decisions`}</summary>
          <ul>
            {pair.history.map((line) => (
              <li key={line.at}>
                {line.by} {line.sentence}, <Instant at={line.at} />
              </li>
            ))}
          </ul>
        </details>
      )}
      <Refusal error={deciding.error} />
    </div>
  );
}
