/** What was heard: the reader's own open session to write in, and the sealed ones. */
import { useMutation } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { useHere } from '../app/session.js';
import { Button, Notice, Refusal, useToday } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { useUnit } from '../unit/useUnit.js';
import { SessionCard } from './SessionCard.js';
import { SessionEditor } from './SessionEditor.js';
import '../styles/listening.css';

export function UnitListening() {
  const { unit, loan } = useUnit();
  const { person } = useHere();
  const today = useToday();
  const refresh = useRefreshLoan(unit.loanId);
  const beginning = useMutation({
    mutationFn: () => api.addListening(unit.id, { heardOn: today }),
    onSettled: refresh,
  });
  if (!loan) return <p className="loading">Fetching the sessions…</p>;
  const sessions = loan.listening.filter((session) => session.unitId === unit.id);
  const mine = sessions.find((session) => session.byId === person.id && !session.sealedAt);
  const others = sessions.filter((session) => session !== mine);
  return (
    <div className="stack">
      {!mine && (
        <div className="stack">
          {unit.dataOpened ? (
            <Notice icon="ear" title="You have opened this unit’s data.">
              <p>What you write now is kept, but it does not count as blind.</p>
            </Notice>
          ) : (
            <Notice icon="ear" title="You have not opened this unit’s data.">
              <p>Write down what you hear and seal it before you look: then it counts as blind.</p>
            </Notice>
          )}
          <div>
            <Button look="main" icon="ear" busy={beginning.isPending} onPress={() => beginning.mutate()}>
              Begin a listening session
            </Button>
          </div>
          <Refusal error={beginning.error} />
        </div>
      )}
      {mine && <SessionEditor key={mine.id} session={mine} unit={unit} onChanged={refresh} />}
      {others.length > 0 && (
        <section className="section stack" aria-labelledby="sessions">
          <h2 id="sessions">Sessions</h2>
          {others.map((session) => (
            <SessionCard key={session.id} session={session} folded={mine !== undefined} />
          ))}
        </section>
      )}
    </div>
  );
}
