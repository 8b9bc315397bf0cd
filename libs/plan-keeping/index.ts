export * from './dayWords.js';
export * from './deadlines.js';
export * from './planInput.js';
export * from './teamPlan.js';
