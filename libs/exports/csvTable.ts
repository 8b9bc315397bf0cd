/** Rows as CSV (RFC 4180) under the names of their fields; no cell is a formula to a spreadsheet. */
import { textField } from '../figures/index.js';
import type { ExportEntry } from './exportEntry.js';

export function asCsv(
  path: string,
  columns: readonly string[],
  rows: readonly Readonly<Record<string, unknown>>[],
): ExportEntry {
  const lines = rows.map((row) => columns.map((column) => textField(cellOf(row[column]))).join(','));
  return { path, text: `${[columns.join(','), ...lines].join('\r\n')}\r\n` };
}

function cellOf(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (value instanceof Date) return value.toISOString();
  if (typeof value === 'string') return value;
  if (typeof value === 'number' || typeof value === 'boolean' || typeof value === 'bigint')
    return String(value);
  return JSON.stringify(value);
}
