/** The processes at work, on whatever machines, and those that fell silent within the last hour. */
import type { ProcessView } from '../contracts.js';
import { Icon, Instant } from '../kit/index.js';
import { bytesWords, count } from '../words/numbers.js';

const roleWords: Readonly<Record<ProcessView['role'], string>> = {
  all: 'Server and worker',
  api: 'Server',
  worker: 'Worker',
};

export function Processes({ processes }: { processes: readonly ProcessView[] }) {
  return (
    <section className="section stack" aria-labelledby="processes">
      <h2 id="processes">Processes</h2>
      <ul className="lines">
        {processes.map((one) => (
          <li key={one.id} className="row apart">
            <span>
              <Icon name={one.alive ? 'check' : 'warning'} /> <strong>{roleWords[one.role]}</strong>{' '}
              <span className="small soft">on {one.machine}</span>
            </span>
            <span className="small">
              {one.alive ? (
                <>
                  runs since <Instant at={one.startedAt} relativeOnly />
                </>
              ) : (
                <>
                  silent since <Instant at={one.seenAt} relativeOnly />
                </>
              )}
              , <span className="num">{bytesWords(one.memoryBytes)}</span> of memory
              {one.threads > 0 && `, ${count(one.threads, 'thread')} for analyses`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
