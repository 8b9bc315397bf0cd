import type { AnalysisSettings } from './analysis.js';

/** What an analysis uses where the operator asks for nothing else. */
export const defaultSettings: AnalysisSettings = Object.freeze({
  earlyReflections: 'five-group-mean',
  rearWall: 'nineteen',
  maximumFilters: 6,
  maximumBoostDb: 3,
  equaliserSampleRateHz: 48_000,
});
