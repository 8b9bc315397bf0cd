/** The photographs of a report, and taking more of them. */
import { useMutation } from '@tanstack/react-query';
import { useState, useSyncExternalStore } from 'react';
import { FileTrigger } from 'react-aria-components/FileTrigger';
import { api } from '../api/api.js';
import type { ReportView } from '../contracts.js';
import { Button, IconButton, Progress, Refusal } from '../kit/index.js';
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
              {report.signedAt ? (
                photo.caption !== '' && <p className="small soft">{photo.caption}</p>
              ) : (
                <>
                  <Caption key={`${photo.id} ${photo.version}`} photo={photo} onChanged={onChanged} />
                  <RemovePhotograph photo={photo} onChanged={onChanged} />
                </>
              )}
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

function RemovePhotograph(props: {
  photo: ReportView['photographs'][number];
  onChanged: () => Promise<void>;
}) {
  const { photo } = props;
  const removing = useMutation({
    mutationFn: () => api.deletePhotograph(photo.id, photo.version),
    onSettled: props.onChanged,
  });
  return (
    <>
      <IconButton
        icon="cross"
        label={`Delete the photograph ${photo.caption || photo.name}`}
        isDisabled={removing.isPending}
        onPress={() => removing.mutate()}
      />
      <Refusal error={removing.error} />
    </>
  );
}

/** Until the report is signed; its words stand from then on. */
function Caption(props: { photo: ReportView['photographs'][number]; onChanged: () => Promise<void> }) {
  const { photo } = props;
  const [caption, setCaption] = useState(photo.caption);
  const keeping = useMutation({
    mutationFn: () => api.changePhotograph(photo.id, { version: photo.version, caption: caption.trim() }),
    onSettled: props.onChanged,
  });
  return (
    <>
      <input
        className="caption-edit"
        aria-label={`Caption of ${photo.name}`}
        placeholder="Caption"
        value={caption}
        onChange={(event) => setCaption(event.target.value)}
        onBlur={() => {
          if (caption.trim() !== photo.caption) keeping.mutate();
        }}
      />
      <Refusal error={keeping.error} />
    </>
  );
}
