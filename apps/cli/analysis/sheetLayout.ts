/** One part of the sheet: labelled values, a table, sentences. Empty parts are left out by who makes them. */
export interface Section {
  readonly title: string;
  readonly rows: readonly (readonly [label: string, value: string])[];
  /** First row is the header; cells are set flush right. */
  readonly table?: readonly (readonly string[])[];
  readonly text?: readonly string[];
}

const WIDTH = 96;
const LABEL = 24;
const INDENT = '  ';

export function section({ title, rows, table, text }: Section): string {
  const lines = [title, '-'.repeat(Math.min(WIDTH, title.length)), ...rows.map(labelled)];
  if (table !== undefined && table.length > 1) lines.push(...aligned(table));
  for (const sentence of text ?? []) lines.push(INDENT + sentence.replaceAll('\n', `\n${INDENT}`));
  return `${lines.join('\n')}\n`;
}

function labelled([label, value]: readonly [string, string]): string {
  const lines = wrap(value, WIDTH - INDENT.length - LABEL);
  return lines.map((line, at) => INDENT + (at === 0 ? label : '').padEnd(LABEL) + line).join('\n');
}

function aligned(table: readonly (readonly string[])[]): string[] {
  const widths = table[0].map((_, column) => Math.max(...table.map((row) => (row[column] ?? '').length)));
  return table.map((row) => INDENT + row.map((cell, column) => cell.padStart(widths[column])).join('  '));
}

/** A sentence over several lines, the later ones set in. */
export function paragraph(text: string): string {
  return wrap(text, WIDTH - 2 * INDENT.length).join(`\n${INDENT}`);
}

function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' && lines.length > 0 ? lines : [...lines, line];
}
