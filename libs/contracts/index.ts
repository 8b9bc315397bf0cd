export * from './names.js';
export * from './people.js';
export * from './loans.js';
export * from './measurements.js';
export * from './feed.js';
export * from './jobs.js';
export * from './problems.js';
export * from './client.js';
