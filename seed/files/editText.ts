import { textFile, textOf, type DataFile } from './dataFile.js';

/** One data row of a table being changed: cells by column, the first the frequency. */
export type RowChange = (cells: readonly number[], row: number) => readonly number[] | undefined;

/**
 * Rewrites the data rows of a text file of ours and leaves everything else (comments, header, line ends, number
 * style) as it is. A row for which `change` gives undefined is dropped. Throws when the file has no table.
 */
export function editRows(file: DataFile, change: RowChange): DataFile {
  const text = textOf(file);
  const lineEnd = text.includes('\r\n') ? '\r\n' : '\n';
  const lines = text.split(lineEnd);
  const header = lines.findIndex((line) => line.startsWith('frequency_hz'));
  const separator = lines[header]?.charAt('frequency_hz'.length);
  if (!separator) throw new Error(`${file.name} holds no table.`);
  const comma = separator !== ',' && (lines[header + 1] ?? '').includes(',');
  const kept: string[] = [];
  lines.forEach((line, index) => {
    if (index <= header || line === '') {
      kept.push(line);
      return;
    }
    const cells = line.split(separator);
    const numbers = cells.map((cell) => Number(comma ? cell.replace(',', '.') : cell));
    const changed = change(numbers, index - header - 1);
    if (!changed) return;
    kept.push(
      cells.map((cell, column) => rewritten(cell, numbers[column], changed[column], comma)).join(separator),
    );
  });
  return textFile(file.name, kept.join(lineEnd));
}

/** Untouched cells stay to the character; changed ones keep their number of decimals. */
function rewritten(cell: string, before = Number.NaN, after = Number.NaN, comma = false): string {
  if (before === after) return cell;
  const decimals = cell.split(comma ? ',' : '.')[1]?.length ?? 0;
  const text = after.toFixed(decimals);
  return comma ? text.replace('.', ',') : text;
}

/** All rows as numbers. */
export function readRows(file: DataFile): readonly (readonly number[])[] {
  const rows: (readonly number[])[] = [];
  editRows(file, (cells) => {
    rows.push(cells);
    return cells;
  });
  return rows;
}
