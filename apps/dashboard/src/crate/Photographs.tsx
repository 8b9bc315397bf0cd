/** The photographs of a report, and taking more of them. */
import { useSyncExternalStore } from 'react';
import { FileTrigger } from 'react-aria-components/FileTrigger';
import type { ReportView } from '../contracts.js';
import { Button, Progress } from '../kit/index.js';
import { currentBatches, startBatch, subscribe } from '../upload/batches.js';

export function Photographs({ report, onChanged }: { report: ReportView; onChanged: () => Promise<void> }) {
  const batches = useSyncExternalStore(subscribe, currentBatches);
  const coming = batches.filter((batch) => batch.target.reportId === report.id && batch.state !== 'done');
  return (
    <div className="stack">
      {report.photographs.length > 0 && (
        <ul className="photographs">
          {report.photographs.map((photo) => (
            <li key={photo.id}>
              <a href={photo.url} target="_blank" rel="noreferrer">
                <img src={photo.url} alt={photo.caption || photo.name} loading="lazy" />
              </a>
            </li>
          ))}
        </ul>
      )}
      {coming.map((batch) => (
        <div key={batch.id} className="small">
          {batch.state === 'failed' ? (
            batch.problems.map((problem) => (
              <p key={problem.file} className="field-error">
                {problem.file}: {problem.message} {problem.remedy}
              </p>
            ))
          ) : (
            <Progress
              value={batch.sentBytes / Math.max(1, batch.allBytes)}
              label="Photographs on their way"
            />
          )}
        </div>
      ))}
      {!report.signedAt && (
        <div className="row">
          <FileTrigger
            acceptedFileTypes={['image/jpeg', 'image/png', 'image/webp', 'image/heic']}
            allowsMultiple
            onSelect={(files) => {
              if (files) startBatch({ reportId: report.id }, [...files], () => void onChanged());
            }}
          >
            <Button icon="camera">
              {report.photographs.length > 0 ? 'More photographs' : 'Add photographs'}
            </Button>
          </FileTrigger>
        </div>
      )}
    </div>
  );
}
