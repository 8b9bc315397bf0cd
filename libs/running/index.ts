export * from './log.js';
export * from './metrics.js';
export * from './metricsDoor.js';
export * from './metricsServer.js';
