import { quote } from '../problem.js';
import type { Refusal, WantedColumn } from './chooseColumns.js';
import { NumberReader } from './NumberReader.js';
import { isNotFinite, splitCells, type Separator } from './splitCells.js';

const SPACE = 32;
const TAB = 9;
const QUOTE = 34;

/** `not-data`: the line does not begin with a number. A refusal is a fault in a row of data. */
export type RowOutcome = 'ok' | 'not-data' | 'too-many' | Refusal;

/**
 * The rows of one table as they come in: the wanted columns are read in place from the whole text (see
 * NumberReader for why), the others are only counted.
 */
export class TableRows {
  count = 0;
  private readonly numbers = new NumberReader();
  private lines: Int32Array;
  private values: Float64Array[];
  /** Wanted column by place in the row; -1 for the rest. */
  private readonly slotOf: Int16Array;
  private readonly separatorCode: number;
  private readonly needed: number;
  private minCells = Infinity;
  private maxCells = 0;
  private lastCellsAreDigits = true;
  private markLine: number | undefined;

  constructor(
    private readonly columns: readonly WantedColumn[],
    private readonly separator: Separator,
    private readonly headerCells: number | undefined,
    /** Rows to make room for at first. */
    capacity: number,
    private readonly maxRows: number,
    /** Whether the text holds quotes anywhere. */
    private readonly mayBeQuoted: boolean,
  ) {
    const width = Math.max(...columns.map(({ index }) => index)) + 1;
    this.slotOf = new Int16Array(width).fill(-1);
    columns.forEach(({ index }, slot) => (this.slotOf[index] = slot));
    this.needed = columns
      .filter((column) => !column.mayBeEmpty)
      .reduce((n, { index }) => Math.max(n, index + 1), 0);
    this.lines = new Int32Array(capacity);
    this.values = columns.map(() => new Float64Array(capacity));
    this.separatorCode = separator === 'space' ? SPACE : separator.charCodeAt(0);
  }

  /** Takes the line `text[start, end)`. */
  take(text: string, start: number, end: number, line: number): RowOutcome {
    let from = start;
    let to = end;
    while (from < to && isBlank(text.charCodeAt(from), this.separatorCode)) from += 1;
    while (to > from && isBlank(text.charCodeAt(to - 1), this.separatorCode)) to -= 1;
    if (from === to) return 'ok';
    if (!beginsNumber(text.charCodeAt(from)) && !this.beginsNotFinite(text.slice(from, to)))
      return 'not-data';
    if (this.count >= this.maxRows) return 'too-many';
    if (this.count === this.lines.length) this.grow();
    if (this.mayBeQuoted && text.slice(from, to).includes('"'))
      return this.takeQuoted(text.slice(from, to), line);
    return this.takePlain(text, from, to, line);
  }

  /** "nan;85" is a faulty row, not a comment. */
  private beginsNotFinite(row: string): boolean {
    return isNotFinite(splitCells(row.slice(0, 80), this.separator)[0] ?? '');
  }

  private grow(): void {
    const rows = this.lines.length * 2;
    const lines = new Int32Array(rows);
    lines.set(this.lines);
    this.lines = lines;
    this.values = this.values.map((column) => {
      const longer = new Float64Array(rows);
      longer.set(column);
      return longer;
    });
  }

  /** The columns, cut to the rows read; call once, at the end. */
  finish(): { lines: Int32Array; values: readonly Float64Array[] } {
    const whole = this.count === this.lines.length;
    if (whole) return { lines: this.lines, values: this.values };
    return {
      lines: this.lines.slice(0, this.count),
      values: this.values.map((column) => column.slice(0, this.count)),
    };
  }

  /**
   * Comma-separated whole numbers may be decimal-comma data: is `100,85,3` three numbers or 100 and 85.3?
   * Told apart by a header with as many names as cells; refused when nothing tells.
   */
  ambiguousDecimalComma(): { line: number; refusal: Refusal } | undefined {
    const marked = this.numbers.sawPoint || this.numbers.sawComma;
    if (this.separator !== ',' || marked || this.count === 0) return undefined;
    if (this.headerCells !== undefined ? this.maxCells <= this.headerCells : this.maxCells < 3)
      return undefined;
    if (!this.lastCellsAreDigits && this.minCells === this.maxCells) return undefined;
    return {
      line: this.lines[0],
      refusal: {
        code: 'ambiguous-decimal-comma',
        message: 'Commas seem to be both decimal marks and separators, so the columns cannot be told apart.',
        remedy: 'Export with semicolons or tabs between the columns, or with decimal points.',
      },
    };
  }

  private takePlain(text: string, from: number, to: number, line: number): RowOutcome {
    const { separatorCode, slotOf } = this;
    const blanks = separatorCode === SPACE;
    let cell = 0;
    let at = from;
    while (at <= to) {
      let stop = at;
      while (stop < to) {
        const code = text.charCodeAt(stop);
        if (code === separatorCode || (blanks && code === TAB)) break;
        stop += 1;
      }
      if (cell < slotOf.length && slotOf[cell] >= 0) {
        const fault = this.takeCell(text, at, stop, slotOf[cell]);
        if (fault !== undefined) return fault;
      }
      cell += 1;
      at = stop + 1;
      if (blanks) while (at < to && isBlank(text.charCodeAt(at), separatorCode)) at += 1;
      if (stop >= to) break;
    }
    return this.endRow(text, cell, from, to, line);
  }

  private takeQuoted(row: string, line: number): RowOutcome {
    const cells = splitCells(row, this.separator);
    for (let index = 0; index < this.slotOf.length && index < cells.length; index += 1) {
      const slot = this.slotOf[index];
      const cell = cells[index];
      const fault = slot < 0 ? undefined : this.takeCell(cell, 0, cell.length, slot);
      if (fault !== undefined) return fault;
    }
    return this.endRow(row, cells.length, 0, row.length, line);
  }

  private takeCell(text: string, start: number, end: number, slot: number): Refusal | undefined {
    let from = start;
    let to = end;
    while (from < to && isSpace(text.charCodeAt(from))) from += 1;
    while (to > from && isSpace(text.charCodeAt(to - 1))) to -= 1;
    const value = this.numbers.read(text, from, to);
    // `value - value` is 0 for every finite number: one comparison instead of a call in the hottest line.
    if (value - value === 0) {
      this.values[slot][this.count] = value;
      return undefined;
    }
    return this.faultOf(text.slice(from, to), slot);
  }

  private faultOf(cell: string, slot: number): Refusal | undefined {
    const column = this.columns[slot];
    if ((cell === '' && column.mayBeEmpty) || (isNotFinite(cell) && this.isConstantPart(slot))) {
      this.values[slot][this.count] = NaN;
      return undefined;
    }
    const where = column.meaning.header.startsWith('column ')
      ? column.meaning.header
      : `column ${column.meaning.header}`;
    if (cell === '') {
      const remedy = 'Fill the cell, or remove the row.';
      return { code: 'missing-cell', message: `The cell in ${quote(where)} is empty.`, remedy };
    }
    if (isNotFinite(cell)) {
      const remedy = 'Remove the row, or measure and export it again.';
      return {
        code: 'not-finite',
        message: `${quote(cell)} in ${quote(where)} is not a finite number.`,
        remedy,
      };
    }
    const remedy =
      'Correct the cell; numbers are written like 1234.5, 1234,5 or 1.2e3, without thousands marks or units.';
    return { code: 'not-a-number', message: `${quote(cell)} in ${quote(where)} is not a number.`, remedy };
  }

  /** A spectrum's first row is often 0 Hz with a level of minus infinity; that row is left out anyway. */
  private isConstantPart(slot: number): boolean {
    const frequency = this.columns.findIndex(({ meaning }) => meaning.quantity === 'frequency');
    return this.count === 0 && frequency < slot && this.values[frequency][0] === 0;
  }

  private endRow(text: string, cells: number, from: number, to: number, line: number): RowOutcome {
    if (cells < this.needed) {
      return {
        code: 'missing-cell',
        message: `The row has ${cells} ${cells === 1 ? 'cell' : 'cells'}; ${this.needed} are needed.`,
        remedy: 'The file may be cut short: export or copy it again.',
      };
    }
    if (this.numbers.sawPoint && this.numbers.sawComma && this.markLine === undefined) {
      this.markLine = line;
      return {
        code: 'mixed-decimal-marks',
        message: 'Both a point and a comma are used as decimal mark.',
        remedy: 'Export with one decimal mark and without thousands marks.',
      };
    }
    // Upper harmonics may be left out at the end of a row.
    for (let slot = 0; slot < this.columns.length; slot += 1) {
      if (this.columns[slot].index >= cells) this.values[slot][this.count] = NaN;
    }
    this.noteCells(text, cells, from, to);
    this.lines[this.count] = line;
    this.count += 1;
    return 'ok';
  }

  private noteCells(text: string, cells: number, from: number, to: number): void {
    if (cells < this.minCells) this.minCells = cells;
    if (cells > this.maxCells) this.maxCells = cells;
    if (!this.lastCellsAreDigits || this.numbers.sawPoint) return;
    const last = text.slice(text.lastIndexOf(this.separator, to - 1) + 1, to).trim();
    if (to > from && !/^\d*$/.test(last)) this.lastCellsAreDigits = false;
  }
}

function isSpace(code: number): boolean {
  return code === SPACE || code === TAB || code === 0xa0;
}

/** Blank at the end of a line; a tab is not when it separates cells. */
function isBlank(code: number, separatorCode: number): boolean {
  return code === SPACE || code === 0xa0 || (code === TAB && separatorCode !== TAB);
}

function beginsNumber(code: number): boolean {
  return (
    (code >= 48 && code <= 57) ||
    code === 43 ||
    code === 45 ||
    code === 46 ||
    code === QUOTE ||
    code === 0x2212
  );
}
