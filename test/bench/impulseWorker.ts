import { parentPort, workerData } from 'node:worker_threads';
import { resolveRecordings } from '../../libs/acoustics/recordings/resolveRecordings.js';
import { impulseSet } from './impulseSet.js';

/** A thread of the benchmark: reads the vertical orbit each time it is asked. */
const set = impulseSet(workerData as SharedArrayBuffer);
parentPort?.on('message', () => {
  const { angles } = resolveRecordings({ ...set, impulses: set.impulses.slice(36) }).set;
  // A thread of this process, not a window: there is no origin to name.
  // oxlint-disable-next-line unicorn/require-post-message-target-origin
  parentPort?.postMessage(angles);
});
