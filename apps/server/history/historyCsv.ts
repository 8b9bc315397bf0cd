/** The history as a file any spreadsheet opens (RFC 4180), with the hashes by which it can be checked later. */
import { textField } from '../../../libs/figures/index.js';
import type { HistoryRow } from '../loans/present.js';

const columns = ['number', 'time', 'who', 'did', 'reason', 'loan', 'content sha-256', 'link sha-256'];

export const CSV_HEAD = `${columns.join(',')}\r\n`;

export function csvLine(row: HistoryRow): string {
  const fields = [
    String(row.number),
    row.at.toISOString(),
    row.actorName,
    row.sentence,
    row.reason ?? '',
    row.loanId ?? '',
    row.contentHash ?? '',
    row.hash ?? '',
  ];
  return `${fields.map(textField).join(',')}\r\n`;
}
