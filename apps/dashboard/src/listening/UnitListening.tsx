/** What was heard: the reader's own open session to write in, and the sealed ones. */
import { useEffect, useState } from 'react';
import { useHere } from '../app/session.js';
import type { ListeningView, LoanView, UnitView } from '../contracts.js';
import { Button, Notice, useToday } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { useRefreshUnit, useUnit } from '../unit/useUnit.js';
import { keepShell } from './keepShell.js';
import { changeKept, dropKept, type KeptSession } from './keptSessions.js';
import { isUnsent } from './sendKept.js';
import { SealedMeanwhile } from './SealedMeanwhile.js';
import { SessionCard } from './SessionCard.js';
import { draftOf } from './sessionDraft.js';
import { SessionEditor } from './SessionEditor.js';
import { SessionEnd } from './SessionEnd.js';
import { beginHere, goOnHere, useKeptHere } from './useKeptHere.js';
import { useKeptSession } from './useKeptSession.js';
import '../styles/listening.css';

export function UnitListening() {
  const { unit, loan } = useUnit();
  const { person } = useHere();
  const keptHere = useKeptHere(person.id);
  useEffect(keepShell, []);
  if (!loan || !keptHere) return <p className="loading">Fetching the sessions…</p>;
  const kept = keptHere.filter(({ unitId }) => unitId === unit.id);
  return <Sessions unit={unit} loan={loan} kept={kept} />;
}

function Sessions({ unit, loan, kept }: { unit: UnitView; loan: LoanView; kept: readonly KeptSession[] }) {
  const { person } = useHere();
  const sessions = loan.listening.filter((session) => session.unitId === unit.id);
  const elsewhere = sessions.filter(
    ({ id, byId, sealedAt }) => byId === person.id && !sealedAt && !kept.some((one) => one.id === id),
  );
  useFollowServer(sessions, kept);
  const others = sessions.filter(
    ({ id }) => !kept.some((one) => one.id === id) && !elsewhere.some((one) => one.id === id),
  );
  return (
    <div className="stack">
      {kept.length === 0 && elsewhere.length === 0 && <Begin unit={unit} />}
      {elsewhere.map((session) => (
        <Notice key={session.id} icon="ear" title="You have an open session, begun on another device.">
          <Button look="main" onPress={() => void goOnHere(unit, person, session)}>
            Go on with it here
          </Button>
        </Notice>
      ))}
      {kept.map(({ id }) => (
        <OpenSession key={id} id={id} unit={unit} view={sessions.find((session) => session.id === id)} />
      ))}
      {others.length > 0 && (
        <section className="section stack" aria-labelledby="sessions">
          <h2 id="sessions">Sessions</h2>
          {others.map((session) => (
            <SessionCard key={session.id} session={session} mine={session.byId === person.id} />
          ))}
        </section>
      )}
    </div>
  );
}

function Begin({ unit }: { unit: UnitView }) {
  const { person } = useHere();
  const today = useToday();
  const [lost, setLost] = useState(false);
  const begin = () => void beginHere(unit, person, today).catch(() => setLost(true));
  return (
    <div className="stack">
      {unit.dataOpened ? (
        <Notice icon="ear" title="You have opened this unit’s data.">
          <p>What you write now is kept, but it does not count as blind.</p>
        </Notice>
      ) : (
        <Notice icon="ear" title="You have not opened this unit’s data.">
          <p>
            Write down what you hear and seal it before you look: then it counts as blind. From its beginning
            until its seal the server keeps this unit’s results from you everywhere.
          </p>
        </Notice>
      )}
      <div>
        <Button look="main" icon="ear" onPress={begin}>
          Begin a listening session
        </Button>
      </div>
      {lost && (
        <Notice tone="wrong" alert title="This device cannot keep a session.">
          <p>The browser refuses to store anything: leave private browsing, or take another device.</p>
        </Notice>
      )}
    </div>
  );
}

function OpenSession({ id, unit, view }: { id: string; unit: UnitView; view: ListeningView | undefined }) {
  const refreshLoan = useRefreshLoan(unit.loanId);
  const refreshUnit = useRefreshUnit(unit);
  const refresh = async () => {
    await Promise.all([refreshLoan(), refreshUnit()]);
  };
  const written = useKeptSession(id, () => {
    if (!view) void refresh();
  });
  if (!written) return null;
  if (written.kept.sealedMeanwhile) {
    return <SealedMeanwhile kept={written.kept} sealed={view} onEnded={refresh} />;
  }
  return (
    <SessionEditor written={written}>
      <SessionEnd written={written} blind={view ? view.blind : !unit.dataOpened} onEnded={refresh} />
    </SessionEditor>
  );
}

/** What other devices of the same person did comes in where nothing here waits to be sent. */
function useFollowServer(sessions: readonly ListeningView[], kept: readonly KeptSession[]): void {
  useEffect(() => {
    for (const session of sessions) {
      const here = kept.find(({ id }) => id === session.id);
      if (!here || isUnsent(here)) continue;
      if (session.sealedAt) void dropKept(here.id);
      else if (session.version > here.version) {
        const theirs = draftOf(session);
        void changeKept(here.id, (was) =>
          isUnsent(was) || was.version >= session.version
            ? was
            : { ...was, version: session.version, base: theirs, draft: theirs },
        );
      }
    }
  }, [sessions, kept]);
}
