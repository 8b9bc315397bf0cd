/** A session to read. While the reader listens blind themselves, the server keeps others' words from them. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import type { ListeningView } from '../contracts.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { Button, Day, Icon, Instant, Refusal } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { useUnit } from '../unit/useUnit.js';
import { count, formatQuantity } from '../words/numbers.js';
import { freshId } from './freshId.js';
import { quickRemark } from './quickRemark.js';
import { RemarkLine } from './RemarkLine.js';

export function SessionCard({ session, mine }: { session: ListeningView; mine: boolean }) {
  return (
    <article className="session-card stack">
      <div>
        <h3>
          {session.by}, <Day day={session.heardOn} />
        </h3>
        <p className="small soft">
          {session.sealedAt ? (
            <>
              <Icon name="lock" size={15} /> Sealed <Instant at={session.sealedAt} />
              {session.blind
                ? ', blind: before its author had seen data'
                : ', not blind: its author had seen data or gave it up'}
            </>
          ) : (
            'Open; its author is still writing.'
          )}
        </p>
      </div>
      {session.sealedAt && session.sealedForYou && (
        <p className="small soft">You see its words once your own session is sealed.</p>
      )}
      {session.sealedAt && !session.sealedForYou && <Words session={session} mine={mine} />}
    </article>
  );
}

function Words({ session, mine }: { session: ListeningView; mine: boolean }) {
  const circumstances = [
    session.placement,
    session.sources,
    ...(session.levelDb === null ? [] : [`level ${formatQuantity(session.levelDb, 'dBA')}`]),
  ].filter((part) => part !== '');
  return (
    <details open>
      <summary>{count(session.remarks.length, 'remark')}</summary>
      <div className="stack">
        {circumstances.length > 0 && <p className="small">{circumstances.join('; ')}</p>}
        <ul className="lines">
          {session.remarks.map((remark) => (
            <li key={remark.id}>
              <RemarkLine remark={remark} />
            </li>
          ))}
        </ul>
        {session.words !== '' && <p className="session-words">{session.words}</p>}
        {session.additions.length > 0 && (
          <>
            <h4>Added after the seal</h4>
            <ul className="lines">
              {session.additions.map(({ id, remark, at }) => (
                <li key={id}>
                  <RemarkLine remark={remark} />
                  <div className="small soft">
                    <Icon name="clock" size={13} /> after the seal, <Instant at={at} />
                  </div>
                </li>
              ))}
            </ul>
          </>
        )}
        {mine && <AddAfter session={session} />}
        {mine && <DeleteSession session={session} />}
        <p className="small">
          <Link to={`/listening/${session.id}`}>The seal, and how to check it</Link>
        </p>
      </div>
    </details>
  );
}

function DeleteSession({ session }: { session: ListeningView }) {
  const { unit } = useUnit();
  const refresh = useRefreshLoan(unit.loanId);
  return (
    <div>
      <DeleteThis
        what="this session"
        name={`Your session on ${unit.name}`}
        goesWith="its remarks, and what was added after the seal."
        send={() => api.deleteListening(session.id, session.version)}
        onDeleted={() => void refresh()}
      />
    </div>
  );
}

function AddAfter({ session }: { session: ListeningView }) {
  const { unit } = useUnit();
  const [line, setLine] = useState('');
  const [id, setId] = useState(freshId);
  const refresh = useRefreshLoan(unit.loanId);
  const adding = useMutation({
    mutationFn: () =>
      api.addAfterSeal(session.id, { id, remark: quickRemark(line, 'after', new Date().toISOString()) }),
    onSuccess: async () => {
      setLine('');
      setId(freshId());
      await refresh();
    },
  });
  const label = 'Add something after the seal';
  return (
    <form
      className="quick-line"
      onSubmit={(event) => {
        event.preventDefault();
        if (line.trim() !== '') adding.mutate();
      }}
    >
      <div className="field">
        <label htmlFor={`after-${session.id}`}>{label}</label>
        <input id={`after-${session.id}`} value={line} onChange={(event) => setLine(event.target.value)} />
        <div className="field-hint">It stands beside what you sealed, with its time.</div>
      </div>
      <Button type="submit" icon="plus" busy={adding.isPending}>
        Add after the seal
      </Button>
      <Refusal error={adding.error} />
    </form>
  );
}
