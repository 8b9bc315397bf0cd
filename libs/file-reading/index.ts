export { ReadingStopped } from './limitedProcess.js';
export * from './pictureSize.js';
export * from './readingPool.js';
export type * from './readingTasks.js';
export * from './stoppedProblem.js';
