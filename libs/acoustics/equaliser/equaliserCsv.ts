import type { Equaliser } from '../analysis.js';

const HEADER = ['type', 'frequency_hz', 'gain_db', 'q', 'b0', 'b1', 'b2', 'a0', 'a1', 'a2'];

/**
 * The filters as CSV (RFC 4180): one a line, coefficients at the sample rate of the proposal with a0 = 1;
 * y[n] = b0 x[n] + b1 x[n-1] + b2 x[n-2] - a1 y[n-1] - a2 y[n-2].
 */
export function equaliserCsv({ filters, sampleRateHz }: Pick<Equaliser, 'filters' | 'sampleRateHz'>): string {
  const rows = filters.map(({ type, frequencyHz, gainDb, q, b, a }) => [
    type,
    ...[frequencyHz, gainDb, q, ...b, ...a, sampleRateHz].map(String),
  ]);
  return [[...HEADER, 'sample_rate_hz'], ...rows].map((row) => `${row.join(',')}\r\n`).join('');
}
