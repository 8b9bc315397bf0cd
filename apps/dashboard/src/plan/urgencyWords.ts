import type { Urgency } from '../contracts.js';

export const urgencyWords: Readonly<Record<Urgency, string>> = {
  late: 'late',
  'at-risk': 'at risk',
  'on-track': 'on time',
  settled: 'settled',
  undated: 'without dates',
};
