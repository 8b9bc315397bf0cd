export * from './correlate.js';
export * from './descriptors.js';
export type * from './types.js';
export { sayFinding } from './reasonOf.js';
export * from './standingPairs.js';
