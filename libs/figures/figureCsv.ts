/** A figure's numbers as a file any spreadsheet opens. */
import type { FigureDescription } from './description.js';
import { figureTable } from './figureTable.js';

/**
 * RFC 4180: one heading line, CRLF after every line, fields quoted where they must be. Numbers are written in full
 * with a decimal point; a gap is an empty field. The last column, `about`, says on the first rows what the figure is,
 * under which conditions, where from, and whether the data is invented. Text that a spreadsheet would take for a
 * formula is led by an apostrophe.
 */
export function figureCsv(description: FigureDescription): string {
  const { columns, rows } = figureTable(description);
  const about = aboutLines(description);
  const height = Math.max(rows.length, about.length);
  const lines = [[...columns, 'about'].map(textField).join(',')];
  for (let row = 0; row < height; row += 1) {
    const numbers = rows[row] ?? columns.map(() => null);
    lines.push([...numbers.map(numberField), textField(about[row] ?? '')].join(','));
  }
  return lines.map((line) => `${line}\r\n`).join('');
}

function aboutLines(description: FigureDescription): string[] {
  const { title, subtitle, conditions, provenance, invented, panels, notes } = description;
  return [
    subtitle === undefined ? title : `${title}: ${subtitle}`,
    ...(invented ? ['Invented data'] : []),
    ...(conditions === undefined ? [] : [`Measured: ${conditions}`]),
    ...(provenance === undefined ? [] : [`From: ${provenance}`]),
    ...notes,
    ...panels.flatMap(({ marks }) => marks.map(({ number, text }) => `Finding ${number}: ${text}`)),
  ];
}

function numberField(value: number | null): string {
  return value === null || !Number.isFinite(value) ? '' : String(value);
}

// What spreadsheets start a formula with, also in full-width forms, and what they skip before one.
// oxlint-disable-next-line no-control-regex
const FORMULA_START = /^[\s\u0000-\u001f\ufeff]*[=+\-@|\uff1d\uff0b\uff0d\uff20\t\r\n]/u;

/** A field of RFC 4180 with any words; what a spreadsheet would take for a formula is led by an apostrophe. */
export function textField(text: string): string {
  const inert = FORMULA_START.test(text) ? `'${text}` : text;
  return /[",\r\n]|^\s|\s$/.test(inert) ? `"${inert.replaceAll('"', '""')}"` : inert;
}
