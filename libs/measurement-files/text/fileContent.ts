import type { Role } from '../../acoustics/series.js';

/** What a text file holds: a role of the analysis, or a microphone's calibration curve. */
export type FileContent = Role | 'calibration';
