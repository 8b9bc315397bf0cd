/** How much room there is, what takes it, and the last backup. */
import { Link } from 'react-router';
import type { OperationsView, StorageView } from '../contracts.js';
import { Instant, Progress } from '../kit/index.js';
import { bytesWords, count } from '../words/numbers.js';

export function Storage(props: { storage: StorageView; lastBackup: OperationsView['lastBackup'] }) {
  const { storage, lastBackup } = props;
  return (
    <section className="section stack" aria-labelledby="storage">
      <h2 id="storage">Storage</h2>
      <Disk storage={storage} />
      <dl className="facts">
        <div>
          <dt>Database</dt>
          <dd className="num">{bytesWords(storage.databaseBytes)}</dd>
        </div>
        <div>
          <dt>Files as they came</dt>
          <dd className="num">
            {bytesWords(storage.filesBytes)} <span className="soft">in {count(storage.files, 'file')}</span>
          </dd>
        </div>
        <div>
          <dt>Last backup</dt>
          <dd>
            {lastBackup ? (
              <>
                <Instant at={lastBackup.at} relativeOnly />,{' '}
                <span className="num">{bytesWords(lastBackup.bytes)}</span>
              </>
            ) : (
              'none yet'
            )}{' '}
            <Link to="/backups">Backups</Link>
          </dd>
        </div>
      </dl>
      <Largest units={storage.largestUnits} />
    </section>
  );
}

function Disk({ storage: { freeBytes, diskBytes } }: { storage: StorageView }) {
  if (freeBytes === null || diskBytes === null) return null;
  const used = 1 - freeBytes / diskBytes;
  const label = `The server’s disk: ${bytesWords(freeBytes)} free of ${bytesWords(diskBytes)}`;
  return (
    <div>
      <p>{label}</p>
      <Progress value={used} label={label} />
    </div>
  );
}

function Largest({ units }: { units: StorageView['largestUnits'] }) {
  if (units.length === 0) return null;
  return (
    <details>
      <summary>The units with the largest files</summary>
      <ul className="lines">
        {units.map(({ unitId, name, bytes }) => (
          <li key={unitId} className="row apart">
            <Link to={`/units/${unitId}`}>{name}</Link>
            <span className="num">{bytesWords(bytes)}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}
