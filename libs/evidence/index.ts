export * from './correlate.js';
export * from './descriptors.js';
export type * from './types.js';
