/**
 * The renderer keeps a picture's pixels, some 8 MB, outside JavaScript's memory until its handle is collected and the
 * thread has come to its event loop. A thread that draws comes to neither: it makes little else to collect, and it
 * waits for its next task without the loop. It held every picture, 140 MB more with each analysis. Handles are young
 * when a task ends, and collecting what is young takes about a millisecond.
 */
import { setImmediate as eventLoop } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as (what: { readonly type: 'minor' }) => void;

export async function freeDrawings(): Promise<void> {
  collect({ type: 'minor' });
  await eventLoop();
}
