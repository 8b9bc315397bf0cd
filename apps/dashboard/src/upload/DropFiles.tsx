/** Where files, folders or a ZIP are dropped or chosen, and how far they are. */
import { useState, useSyncExternalStore } from 'react';
import { DropZone } from 'react-aria-components/DropZone';
import { FileTrigger } from 'react-aria-components/FileTrigger';
import { Text } from 'react-aria-components/Text';
import type { ProblemView } from '../contracts.js';
import { Button, Icon, IconButton, Progress } from '../kit/index.js';
import { bytesWords, count } from '../words/numbers.js';
import { currentBatches, forget, startBatch, startFound, subscribe, type Batch } from './batches.js';
import { walk } from './gather.js';
import { ProblemList } from './ProblemList.js';
import '../styles/upload.css';

export function DropFiles(props: { setId: string; onDone: (problems: readonly ProblemView[]) => void }) {
  const target = { setId: props.setId };
  const [reading, setReading] = useState(false);
  const choose = (files: FileList | null) => {
    if (files) startBatch(target, [...files], props.onDone);
  };
  return (
    <div className="stack">
      <DropZone
        className="drop"
        onDrop={(event) => {
          setReading(true);
          void walk(event.items)
            .then((found) => startFound(target, found, props.onDone))
            .finally(() => setReading(false));
        }}
      >
        <Text slot="label" className="drop-label">
          {reading ? 'Reading the folder…' : 'Drop measurement files, a folder or a ZIP here'}
        </Text>
        <div className="row">
          <FileTrigger allowsMultiple onSelect={choose}>
            <Button icon="file">Choose files</Button>
          </FileTrigger>
          <FileTrigger acceptDirectory onSelect={choose}>
            <Button icon="upload">Choose a folder</Button>
          </FileTrigger>
        </div>
        <details className="small drop-help">
          <summary>What can be read</summary>
          <FileHelp />
        </details>
      </DropZone>
      <Sending setId={props.setId} />
    </div>
  );
}

function FileHelp() {
  return (
    <div className="stack">
      <p>
        Text tables (CSV, tabs or spaces), WAV and SOFA (AES69). Both orbits in steps of 10° make a full set;
        with fewer, whatever the data can give is computed and the rest is named as missing.
      </p>
      <p>
        Names say what a file is: <code>h+030.csv</code>, <code>V -10.txt</code>, <code>h330.wav</code>,{' '}
        <code>impedance.csv</code>, <code>distortion_86db.csv</code>, <code>multitone_86db.csv</code>,{' '}
        <code>compression_76db.csv</code>. Or a <code>manifest.json</code> says it, with distance, drive and
        grille.
      </p>
    </div>
  );
}

function Sending({ setId }: { setId: string }) {
  const batches = useSyncExternalStore(subscribe, currentBatches);
  return batches
    .filter((batch) => batch.target.setId === setId)
    .map((batch) => <BatchCard key={batch.id} batch={batch} />);
}

function BatchCard({ batch }: { batch: Batch }) {
  const kept = batch.files.filter((file) => file.state === 'kept').length;
  const moving = batch.state === 'sending' || batch.state === 'waiting';
  return (
    <div className="batch">
      <div className="row apart">
        <span>
          <strong>{batchWords(batch, kept)}</strong>{' '}
          <span className="soft small">
            {bytesWords(batch.sentBytes)} of {bytesWords(batch.allBytes)}
          </span>
        </span>
        {!moving && <IconButton icon="cross" label="Clear this list" onPress={() => forget(batch.id)} />}
      </div>
      {moving && (
        <Progress value={batch.sentBytes / Math.max(1, batch.allBytes)} label="Files on their way" />
      )}
      {batch.state === 'waiting' && (
        <output className="small">
          <Icon name="clock" size={16} /> The connection is gone. It goes on from where it stopped.
        </output>
      )}
      <ProblemList problems={batch.problems} />
      {moving && batch.files.length > 1 && (
        <details className="small">
          <summary>File by file</summary>
          <ul className="batch-files num">
            {batch.files.map((file) => (
              <li key={file.name}>
                {file.name} <span className="soft">{fileWords[file.state]}</span>
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

const fileWords = { queued: 'waits', sending: 'on its way', kept: 'kept', refused: 'refused' } as const;

function batchWords(batch: Batch, kept: number): string {
  if (batch.state === 'done') return `${count(kept, 'file')} kept`;
  if (batch.state === 'failed') return `${kept} of ${count(batch.files.length, 'file')} kept`;
  return `Sending ${count(batch.files.length, 'file')}, ${kept} kept`;
}
