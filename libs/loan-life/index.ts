export * from './cautions.js';
export * from './facts.js';
export * from './measurementPlan.js';
export * from './stages.js';
export * from './publication.js';
export * from './serials.js';
