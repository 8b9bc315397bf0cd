/** What is being sent, kept outside the pages: leaving one does not stop it. */
import type { ProblemView } from '../contracts.js';
import { choose, fromChooser, type Found } from './gather.js';
import { sendFile, type UploadTarget } from './sendFile.js';

export interface SentFile {
  readonly name: string;
  readonly bytes: number;
  readonly sentBytes: number;
  readonly state: 'queued' | 'sending' | 'kept' | 'refused';
}
export interface Batch {
  readonly id: number;
  readonly target: UploadTarget;
  readonly files: readonly SentFile[];
  readonly allBytes: number;
  readonly sentBytes: number;
  /** `waiting`: the connection is gone and comes back by itself. */
  readonly state: 'sending' | 'waiting' | 'done' | 'failed';
  readonly problems: readonly ProblemView[];
}

const AT_ONCE = 4;
let batches: readonly Batch[] = [];
let lastId = 0;
const listeners = new Set<() => void>();

export const currentBatches = (): readonly Batch[] => batches;
export function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
export function forget(id: number): void {
  publish(batches.filter((batch) => batch.id !== id));
}
function publish(next: readonly Batch[]): void {
  batches = next;
  for (const listener of listeners) listener();
}
function change(id: number, how: (batch: Batch) => Partial<Batch>): void {
  publish(batches.map((batch) => (batch.id === id ? { ...batch, ...how(batch) } : batch)));
}

/** Starts sending chosen files; `done` runs when the last one is through, with what was refused. */
export function startBatch(
  target: UploadTarget,
  files: File[],
  done: (problems: readonly ProblemView[]) => void,
): void {
  startFound(target, fromChooser(files), done);
}

export function startFound(
  target: UploadTarget,
  found: readonly Found<File>[],
  done: (problems: readonly ProblemView[]) => void,
): void {
  const { take, problems } = choose(found);
  if (take.length === 0 && problems.length === 0) return;
  lastId += 1;
  const batch: Batch = {
    id: lastId,
    target,
    files: take.map(({ name, file }) => ({ name, bytes: file.size, sentBytes: 0, state: 'queued' })),
    allBytes: take.reduce((sum, { file }) => sum + file.size, 0),
    sentBytes: 0,
    state: 'sending',
    problems,
  };
  publish([...batches, batch]);
  void send(batch.id, target, take).then(() => {
    const ended = batches.find((each) => each.id === batch.id);
    if (!ended) return;
    change(batch.id, () => ({ state: ended.problems.length > 0 ? 'failed' : 'done' }));
    done(ended.problems);
    if (ended.problems.length === 0) setTimeout(() => forget(batch.id), 4000);
  });
}

async function send(
  id: number,
  target: UploadTarget,
  take: readonly { name: string; file: File }[],
): Promise<void> {
  let next = 0;
  const lane = async () => {
    while (next < take.length) {
      const index = next++;
      const { name, file } = take[index];
      changeFile(id, index, { state: 'sending' });
      const problems = await sendFile(target, name, file, {
        progress: (sentBytes) => changeFile(id, index, { sentBytes }),
        waiting: (waits) => change(id, () => ({ state: waits ? 'waiting' : 'sending' })),
      });
      changeFile(id, index, { sentBytes: file.size, state: problems.length > 0 ? 'refused' : 'kept' });
      if (problems.length > 0) change(id, (batch) => ({ problems: [...batch.problems, ...problems] }));
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, lane));
}

function changeFile(id: number, index: number, how: Partial<SentFile>): void {
  change(id, (batch) => {
    const files = batch.files.map((file, at) => (at === index ? { ...file, ...how } : file));
    return { files, sentBytes: files.reduce((sum, file) => sum + file.sentBytes, 0) };
  });
}

/** Leaving the page while files are on their way would stop them. */
window.addEventListener('beforeunload', (event) => {
  if (batches.some((batch) => batch.state === 'sending' || batch.state === 'waiting')) event.preventDefault();
});
