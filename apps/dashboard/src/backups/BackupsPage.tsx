/** Backups: make one now, take one home, and when they are made by themselves. The owner’s alone: they hold everything. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import type { BackupCause, BackupFileView, BackupsView } from '../contracts.js';
import { Answer, Button, Dialog, Instant, Notice, PageHead, Refusal } from '../kit/index.js';
import { bytesWords } from '../words/numbers.js';
import { BackupPlan } from './BackupPlan.js';
import '../styles/backups.css';

export function BackupsPage() {
  const { person } = useHere();
  return isOwner(person) ? (
    <OwnersBackups />
  ) : (
    <>
      <PageHead title="Backups" />
      <p>Only the owner makes and takes home backups. What is done with them stands in the history.</p>
      <p>
        <Link to="/history">History</Link>
      </p>
    </>
  );
}

function OwnersBackups() {
  const backups = useQuery(queries.backups());
  return (
    <>
      <PageHead
        title="Backups"
        beneath="Everything the team has, in one file: loans, measurements, photographs, listening, history."
      />
      <Answer query={backups} what="the backups">
        {(view) => (
          <>
            <MakeNow view={view} />
            <section className="section stack" aria-labelledby="kept">
              <h2 id="kept">Kept</h2>
              <p className="small soft">
                In <span className="backup-folder num">{view.folder}</span>, on the machine that serves this
                page. A disk that fails takes both with it: keep a copy elsewhere.
              </p>
              <Kept files={view.files} />
            </section>
            <BackupPlan key={view.plan.version} plan={view.plan} />
          </>
        )}
      </Answer>
    </>
  );
}

function MakeNow({ view }: { view: BackupsView }) {
  const client = useQueryClient();
  const making = useMutation({
    mutationFn: () => api.makeBackup(),
    onSuccess: (now) => client.setQueryData(keys.backups, now),
  });
  const [running] = view.running;
  return (
    <section className="stack" aria-label="Make one">
      <p className="row">
        <Button look="main" busy={making.isPending || running !== undefined} onPress={() => making.mutate()}>
          {running ? 'A backup is being made' : 'Make a backup now'}
        </Button>
        {running && (
          <span className="small soft">
            begun <Instant at={running.startedAt} />; the team goes on working meanwhile
          </span>
        )}
      </p>
      <Refusal error={making.error} />
      {view.failed && (
        <Notice tone="wrong" title="The last backup could not be made">
          <p>{view.failed.reason}</p>
        </Notice>
      )}
      <Notice icon="lock" title="A backup holds everything unpublished">
        <p>
          Every result, remark and address is in it. Passwords, sign-ins, access tokens and private links are
          in it only as hashes, the keys of webhooks only sealed. Keep it where only you can read it.
        </p>
      </Notice>
    </section>
  );
}

const causeWords: Readonly<Record<BackupCause, string>> = {
  nightly: 'nightly',
  'by-hand': 'made by hand',
  'before-upgrade': 'before an upgrade',
};

function Kept({ files }: { files: readonly BackupFileView[] }) {
  if (files.length === 0) return <p>None yet.</p>;
  return (
    <ul className="lines">
      {files.map((file) => (
        <KeptLine key={file.name} file={file} />
      ))}
    </ul>
  );
}

function KeptLine({ file }: { file: BackupFileView }) {
  const client = useQueryClient();
  const [asking, setAsking] = useState(false);
  const removing = useMutation({
    mutationFn: () => api.removeBackup(file.name),
    onSuccess: () => setAsking(false),
    onSettled: () => client.invalidateQueries({ queryKey: keys.backups }),
  });
  return (
    <li className="row apart">
      <span>
        <strong>
          <Instant at={file.at} />
        </strong>{' '}
        <span className="small soft">
          {causeWords[file.cause]}, {bytesWords(file.bytes)}
        </span>
      </span>
      <span className="row">
        <a className="button" href={`/api/backups/files/${file.name}`} download>
          Download<span className="hidden"> the backup {file.name}</span>
        </a>
        <Button onPress={() => setAsking(true)}>
          Remove<span className="hidden"> the backup {file.name}</span>
        </Button>
      </span>
      <Dialog title="Remove this backup?" open={asking} onClose={() => setAsking(false)}>
        <p>
          The backup of <Instant at={file.at} /> is deleted from the folder. This can’t be undone.
        </p>
        <Refusal error={removing.error} />
        <div className="form-foot">
          <Button look="grave" busy={removing.isPending} onPress={() => removing.mutate()}>
            Remove it
          </Button>
          <Button onPress={() => setAsking(false)}>Keep it</Button>
        </div>
      </Dialog>
    </li>
  );
}
