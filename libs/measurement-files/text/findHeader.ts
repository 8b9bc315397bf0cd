import { columnMeaning, type ColumnMeaning } from './columnMeaning.js';
import type { FileContent } from './fileContent.js';
import { SEPARATORS, splitCells, type Separator } from './splitCells.js';

export interface Header {
  readonly columns: readonly ColumnMeaning[];
  /** Which of the lines it is (the units' row where there is only that). */
  readonly at: number;
}

/** Signs that begin a comment line in one program or another. */
const COMMENT = /^[#*%!;/]+\s*(?=\S)/;

/**
 * Looks upwards from the first row of data for the line that names its columns. Comments, titles and a row of
 * units may stand between; the header itself may be written as a comment.
 *
 * `linesBefore` is in file order. Returns undefined when no line names a frequency column and one more (then
 * columns go by position).
 */
export function findHeader(
  linesBefore: readonly string[],
  separator: Separator,
  dataCells: number,
  content: FileContent | undefined,
): Header | undefined {
  let units: Header | undefined;
  for (let at = linesBefore.length - 1; at >= 0; at -= 1) {
    const columns = headerColumns(linesBefore[at], separator, dataCells, content);
    if (columns === undefined) continue;
    if (!isUnitsRow(columns)) return { columns: withUnits(columns, units?.columns), at };
    units ??= { columns, at };
  }
  return units;
}

/** The meanings of a line's cells when the line is a header; undefined when it is not. `dataCells` 0: not known yet. */
export function headerColumns(
  line: string,
  separator: Separator,
  dataCells: number,
  content: FileContent | undefined,
): readonly ColumnMeaning[] | undefined {
  const commented = COMMENT.test(line.trim());
  const text = line.trim().replace(COMMENT, '');
  for (const candidate of [separator, ...SEPARATORS.filter((other) => other !== separator)]) {
    if (candidate !== 'space' && !text.includes(candidate)) continue;
    const cells =
      candidate === 'space' ? joinUnits(splitCells(text, candidate)) : splitCells(text, candidate);
    while (cells.at(-1) === '') cells.pop();
    const columns = nameFirstColumn(cells.map((cell) => columnMeaning(cell, content)));
    // Blanks also part the words of one name, and another separator than the data's may only stand in prose:
    // then the count must be right, or the names would be given to the wrong columns.
    const sure = candidate === separator && candidate !== 'space';
    if (
      (sure || dataCells === 0 || columns.length === dataCells) &&
      isHeader(columns, commented, dataCells)
    ) {
      return columns;
    }
  }
  return undefined;
}

/** In blank-separated headers "Phase (deg)" is one name: a unit joins the word before it. */
function joinUnits(cells: readonly string[]): string[] {
  const joined: string[] = [];
  for (const cell of cells) {
    const previous = joined.at(-1);
    const isUnit =
      /^[[(]?(?:k?hz|hertz|dB|dB ?SPL|deg(?:rees?)?|\u00b0|rad|ohms?|\u03a9|\u2126|%|percent)[\])]?$/i.test(
        cell,
      );
    if (isUnit && previous !== undefined && !/[\s)\]]/.test(previous))
      joined[joined.length - 1] = `${previous} ${cell}`;
    else joined.push(cell);
  }
  return joined;
}

/** A table of angles may leave its first header cell empty; that column is the frequency. */
function nameFirstColumn(columns: readonly ColumnMeaning[]): readonly ColumnMeaning[] {
  const first = columns[0];
  const angles = columns.filter((column) => column.angleDeg !== undefined).length;
  if (first === undefined || first.quantity !== 'unknown' || angles === 0) return columns;
  if (columns.some((column) => column.quantity === 'frequency')) return columns;
  return [{ quantity: 'frequency', header: first.header }, ...columns.slice(1)];
}

function isHeader(columns: readonly ColumnMeaning[], commented: boolean, dataCells: number): boolean {
  if (columns.length < 2 || !columns.some((column) => column.quantity === 'frequency')) return false;
  const named = columns.some(({ quantity, unit }) =>
    quantity === 'unknown' ? unit !== undefined : quantity !== 'frequency',
  );
  if (named) return true;
  // Only the frequency is known: believe it when the rest looks like a header too.
  return (
    !commented && columns.length === dataCells && columns.every((column) => !/^[\d.+-]/.test(column.header))
  );
}

function isUnitsRow(columns: readonly ColumnMeaning[]): boolean {
  return columns.every(
    (column) =>
      column.angleDeg === undefined &&
      /^[[(]?(?:|-|k?hz|hertz|db|db ?spl|deg|degrees?|\u00b0|rad|ohms?|\u03a9|\u2126|%|percent)[\])]?$/i.test(
        column.header,
      ),
  );
}

function withUnits(
  columns: readonly ColumnMeaning[],
  units: readonly ColumnMeaning[] | undefined,
): readonly ColumnMeaning[] {
  if (units === undefined) return columns;
  return columns.map((column, at) => {
    const unit = column.unit ?? units[at]?.unit;
    if (unit === undefined) return column;
    const quantity = column.quantity === 'unknown' ? (units[at]?.quantity ?? 'unknown') : column.quantity;
    return { ...column, quantity, unit };
  });
}
