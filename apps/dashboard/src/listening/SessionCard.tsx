/** A session to read. While the reader's own is open, others' words stay folded: they would lead the ear. */
import type { ListeningView } from '../contracts.js';
import { Day, Icon, Instant } from '../kit/index.js';
import { count, formatFrequencyRange, formatQuantity } from '../words/numbers.js';
import { severityWords, signWords, type Remark } from './descriptors.js';

export function SessionCard({ session, folded }: { session: ListeningView; folded: boolean }) {
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
                : ', after its author had seen data'}
            </>
          ) : (
            'Open; its author is still writing.'
          )}
        </p>
      </div>
      {session.sealedAt && (
        <details open={!folded}>
          <summary>{count(session.remarks.length, 'remark')}</summary>
          <div className="stack">
            {(session.placement !== '' || session.levelDb !== null) && (
              <p className="small">
                {[
                  session.placement,
                  ...(session.levelDb === null ? [] : [`level ${formatQuantity(session.levelDb, 'dBA')}`]),
                ]
                  .filter((part) => part !== '')
                  .join('; ')}
              </p>
            )}
            <ul className="lines">
              {session.remarks.map((remark) => (
                <RemarkLine key={remark.id} remark={remark} />
              ))}
            </ul>
            {session.sealHash && (
              <p className="small soft">
                Fingerprint <span className="num seal-hash">{session.sealHash}</span>
              </p>
            )}
          </div>
        </details>
      )}
    </article>
  );
}

function RemarkLine({ remark }: { remark: Remark }) {
  const range =
    remark.fromHz !== undefined && remark.toHz !== undefined
      ? formatFrequencyRange(remark.fromHz, remark.toHz)
      : null;
  return (
    <li>
      <strong>{remark.descriptor ?? 'Remark'}</strong>{' '}
      <span className="soft">
        {signWords[remark.sign]}, {severityWords[remark.severity - 1]}
        {range && `, ${range}`}
      </span>
      {remark.text !== '' && <div>{remark.text}</div>}
      {remark.position && <div className="small soft">{remark.position}</div>}
    </li>
  );
}
