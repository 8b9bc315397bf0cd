/** The ways a loan may go from here, each with what must be true first. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { stages, stageWords, type LoanView, type MoveOffer, type Stage } from '../contracts.js';
import { Button, Dialog, Icon, Refusal, TextArea } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count } from '../words/numbers.js';
import { useKeepLoan, useRefreshLoan } from './useLoan.js';

export function Moves({ loan }: { loan: LoanView }) {
  const onward = loan.moves.filter((move) => move.forward);
  const others = loan.moves.filter((move) => !move.forward);
  // A condition of two moves is said once.
  const said = new Set(onward.flatMap((move) => move.conditions.map(({ code }) => code)));
  if (loan.moves.length === 0) {
    return <p className="soft">This loan is closed; nothing is left to do.</p>;
  }
  return (
    <section className="stack" aria-labelledby="moves">
      <h2 id="moves">Next stage</h2>
      {onward.map((move, at) => (
        <Move key={move.to} loan={loan} move={move} said={saidBefore(onward, at)} />
      ))}
      {others.length > 0 && (
        <details className="other-moves">
          <summary>Another way: {others.map((move) => stageWords[move.to].toLowerCase()).join(', ')}</summary>
          <div className="stack">
            {others.map((move) => (
              <Move key={move.to} loan={loan} move={move} said={said} />
            ))}
          </div>
        </details>
      )}
    </section>
  );
}

const saidBefore = (moves: readonly MoveOffer[], at: number): ReadonlySet<string> =>
  new Set(moves.slice(0, at).flatMap((move) => move.conditions.map(({ code }) => code)));

function Move({ loan, move, said }: { loan: LoanView; move: MoveOffer; said: ReadonlySet<string> }) {
  const [overriding, setOverriding] = useState(false);
  const keep = useKeepLoan();
  const refresh = useRefreshLoan(loan.id);
  const moving = useMutation({
    mutationFn: (overrideReason: string | undefined) =>
      api.moveLoan(loan.id, {
        version: loan.version,
        to: move.to,
        ...(overrideReason ? { overrideReason } : {}),
      }),
    onSuccess: (moved) => {
      keep(moved);
      setOverriding(false);
      say({ tone: 'good', title: moved.title, text: `Now ${stageWords[moved.stage].toLowerCase()}.` });
    },
    // Conditions or the stage changed under us: show what stands now.
    onError: () => void refresh(),
  });
  const open = move.conditions.filter((condition) => !condition.met).length;
  return (
    <div className="move">
      <div className="row apart">
        <h3>{moveWords(loan.stage, move)}</h3>
        <Button
          look={move.forward ? 'main' : 'plain'}
          icon={move.forward ? 'arrow' : 'back'}
          isDisabled={!move.allowed}
          busy={moving.isPending && !overriding}
          onPress={() => moving.mutate(undefined)}
        >
          Move to {stageWords[move.to].toLowerCase()}
        </Button>
      </div>
      {move.conditions.length > 0 && <Conditions move={move} said={said} />}
      {!move.allowed && (
        <p className="small soft">
          {open === 1 ? 'One condition is' : `${open} conditions are`} not met yet.{' '}
          {move.mayOverride && (
            <button type="button" className="as-link" onClick={() => setOverriding(true)}>
              Move anyway, with a reason
            </button>
          )}
        </p>
      )}
      {!overriding && <Refusal error={moving.error} />}
      <OverrideDialog
        move={move}
        open={overriding}
        busy={moving.isPending}
        error={moving.error}
        onClose={() => setOverriding(false)}
        onOverride={(reason) => moving.mutate(reason)}
      />
    </div>
  );
}

function moveWords(from: Stage, move: MoveOffer): string {
  const back = stages.indexOf(move.to) < stages.indexOf(from);
  return `${back ? 'Back to' : 'On to'} ${stageWords[move.to].toLowerCase()}`;
}

function Conditions({ move, said }: { move: MoveOffer; said: ReadonlySet<string> }) {
  const again = move.conditions.filter(({ code }) => said.has(code));
  const open = again.filter(({ met }) => !met).length;
  return (
    <ul className="conditions">
      {again.length > 0 && (
        <li data-met={open === 0 || undefined}>
          <Icon name={open === 0 ? 'check' : 'cross'} size={17} />
          <span>
            {count(again.length, 'condition')} said above
            {open > 0 ? `, ${open === again.length ? 'not met' : `${open} not met`}` : ', met'}.
          </span>
        </li>
      )}
      {move.conditions
        .filter(({ code }) => !said.has(code))
        .map((condition) => (
          <li key={condition.code} data-met={condition.met || undefined}>
            <Icon name={condition.met ? 'check' : 'cross'} size={17} />
            <span>
              <span className="hidden">{condition.met ? 'Met: ' : 'Not met: '}</span>
              {condition.sentence}
            </span>
          </li>
        ))}
    </ul>
  );
}

function OverrideDialog(props: {
  move: MoveOffer;
  open: boolean;
  busy: boolean;
  error: unknown;
  onClose: () => void;
  onOverride: (reason: string) => void;
}) {
  const [reason, setReason] = useState('');
  const unmet = props.move.conditions.filter((condition) => !condition.met);
  return (
    <Dialog
      title={`Move to ${stageWords[props.move.to].toLowerCase()} anyway`}
      open={props.open}
      onClose={props.onClose}
      keepOnOutsidePress={reason !== ''}
    >
      <p>These conditions are not met. Your reason stands in the history beside your name.</p>
      <ul className="conditions">
        {unmet.map((condition) => (
          <li key={condition.code}>
            <Icon name="cross" size={17} />
            <span>{condition.sentence}</span>
          </li>
        ))}
      </ul>
      <TextArea
        label="Why it moves all the same"
        required
        value={reason}
        onChange={setReason}
        hint="A sentence, at least ten characters."
      />
      <Refusal error={props.error} />
      <div className="row">
        <Button
          look="grave"
          busy={props.busy}
          isDisabled={reason.trim().length < 10}
          onPress={() => props.onOverride(reason.trim())}
        >
          Move anyway
        </Button>
        <Button onPress={props.onClose}>Leave it here</Button>
      </div>
    </Dialog>
  );
}
