/** The text rules of reviews, shared by pages and server: nothing here needs either. */
export * from './arrange.js';
export * from './draftDocument.js';
export * from './points.js';
export * from './speaking.js';
