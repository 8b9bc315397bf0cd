/**
 * What runs in a limited process: the readers of uploaded files, and nothing of the house around them. It has no
 * environment, may read no files but the program's own and those still being uploaded, and ends with its parent.
 */
import { serialize } from 'node:v8';
import { expandZip } from '../measurement-files/archive/expandZip.js';
import { readMeasurementSet } from '../measurement-files/readMeasurementSet.js';
import { pictureSize } from './pictureSize.js';
import type { ReadingReply, ReadingRequest } from './readingTasks.js';

const reply = (message: ReadingReply): void => void process.send?.(message);
/** Said before it is begun: whoever waits knows which file it was, should this process not survive it. */
const beginning = (file: string): void => reply({ kind: 'at', file });

process.on('message', (request: ReadingRequest) => {
  work(request).then(
    (answer) => reply({ kind: 'answer', answer }),
    (error: Error) => {
      // Out of memory, told politely: what else is held here can no longer be trusted to be small.
      if (/allocation failed|out of memory/i.test(error.message)) process.exit(1);
      reply({ kind: 'fault', message: error.message });
    },
  );
});
process.on('disconnect', () => process.exit(0));

async function work(request: ReadingRequest) {
  if (request.task === 'measure-picture') return { size: pictureSize(request.ask.head) };
  if (request.task === 'expand-archive') {
    beginning(request.ask.name);
    return expandZip(request.ask.file, undefined, request.ask.name);
  }
  const { set, problems } = await readMeasurementSet(request.ask.entries, undefined, {}, beginning);
  return set && problems.length === 0 ? { series: serialize(set), problems } : { problems };
}
