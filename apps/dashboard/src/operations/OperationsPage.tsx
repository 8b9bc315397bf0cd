/** How the installation itself is: what to do something about, queues, what was given up, storage, processes, versions. */
import { useQuery } from '@tanstack/react-query';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import type { OperationsView, QueueView, VersionsView } from '../contracts.js';
import { Answer, Instant, Notice, PageHead } from '../kit/index.js';
import { minutesWords } from '../words/numbers.js';
import { GivenUp } from './GivenUp.js';
import { Processes } from './Processes.js';
import { Storage } from './Storage.js';
import '../styles/operations.css';

const ASK_AGAIN_MS = 5_000;

export function OperationsPage() {
  const { person } = useHere();
  return isOwner(person) ? (
    <OwnersOperations />
  ) : (
    <>
      <PageHead title="Operations" />
      <p>Only the owner looks after the installation itself.</p>
    </>
  );
}

function OwnersOperations() {
  const operations = useQuery({ ...queries.operations(), refetchInterval: ASK_AGAIN_MS });
  return (
    <>
      <PageHead title="Operations" beneath="What runs here, what waits, and what to do something about." />
      <Answer query={operations} what="the state of the installation">
        {(view) => (
          <>
            <Warnings view={view} />
            <Queues queues={view.queues} />
            <GivenUp failures={view.failures} />
            <Storage storage={view.storage} lastBackup={view.lastBackup} />
            <Processes processes={view.processes} />
            <Versions versions={view.versions} />
          </>
        )}
      </Answer>
    </>
  );
}

function Warnings({ view }: { view: OperationsView }) {
  return (
    <section className="stack" aria-label="To do something about" aria-live="polite">
      {view.warnings.length === 0 && (
        <Notice icon="check" title="All is well">
          <p className="small soft">
            Looked at <Instant at={view.at} relativeOnly />; this page looks again by itself.
          </p>
        </Notice>
      )}
      {view.warnings.map(({ code, message, remedy }, index) => (
        <Notice key={`${code} ${index}`} tone="caution" title={message}>
          <p>{remedy}</p>
        </Notice>
      ))}
    </section>
  );
}

const queueWords: Readonly<Record<QueueView['queue'], string>> = {
  analysis: 'Analyses',
  campaign: 'Recomputing the archive',
  messages: 'Messages',
  publication: 'Publishing',
  backups: 'Backups',
  upkeep: 'Upkeep',
};

function Queues({ queues }: { queues: readonly QueueView[] }) {
  return (
    <section className="section stack" aria-labelledby="queues">
      <h2 id="queues">Waiting and at work</h2>
      <div className="scroll-x">
        <table className="list-table operations-table">
          <thead>
            <tr>
              <th scope="col">Queue</th>
              <th scope="col">Waiting</th>
              <th scope="col">The next has waited</th>
              <th scope="col">At work</th>
              <th scope="col">Later</th>
            </tr>
          </thead>
          <tbody>
            {queues.map(({ queue, waiting, running, later, waitedSeconds }) => (
              <tr key={queue}>
                <th scope="row">{queueWords[queue]}</th>
                <td className="num">{waiting}</td>
                <td>{waitedWords(waitedSeconds)}</td>
                <td className="num">{running}</td>
                <td className="num">{later}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="small soft">
        Analyses people wait for never stand behind the archive’s recomputation, and people are served in
        turn.
      </p>
    </section>
  );
}

function waitedWords(seconds: number | null): string {
  if (seconds === null) return '';
  return seconds < 60 ? `${seconds} s` : minutesWords(seconds / 60);
}

function Versions({ versions }: { versions: VersionsView }) {
  const facts = [
    ['Sojourn', versions.product],
    ['Arithmetic', versions.algorithm],
    ['Node.js', versions.node],
    ['PostgreSQL', versions.postgres],
    ['Queue', versions.redis === null ? 'in PostgreSQL' : `Redis ${versions.redis}`],
    ['Database brought up to date', `${versions.migrations} steps`],
  ] as const;
  return (
    <section className="section stack" aria-labelledby="versions">
      <h2 id="versions">Versions</h2>
      <dl className="facts">
        {facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd className="num">{value}</dd>
          </div>
        ))}
      </dl>
      <p className="small soft">
        What was done by whom stands in the <Link to="/history">history</Link>.
      </p>
    </section>
  );
}
