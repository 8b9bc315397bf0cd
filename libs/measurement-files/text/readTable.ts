import type { ReadLimits } from '../limits.js';
import { problem, quote, type Problem } from '../problem.js';
import { chooseColumns, type Refusal, type WantedColumn } from './chooseColumns.js';
import { columnMeaning, type ColumnMeaning } from './columnMeaning.js';
import type { FileContent } from './fileContent.js';
import { findHeader, headerColumns } from './findHeader.js';
import { isNotFinite, isNumber, separatorOfDataLine, splitCells, type Separator } from './splitCells.js';
import { TableRows } from './TableRows.js';

/** A table of numbers with what its columns mean. Finite throughout, but for empty cells of harmonics (NaN). */
export interface Table {
  readonly content: FileContent;
  readonly columns: readonly { readonly meaning: ColumnMeaning; readonly values: Float64Array }[];
  /** 1-based line of each row. */
  readonly lines: Int32Array;
  /** Columns of numbers that were left unread because nothing names them. */
  readonly ignoredColumns: number;
}

/** Columns as the manifest states them: header names by position, or meaning to header text or 1-based place. */
export type StatedColumns = readonly (string | null)[] | Readonly<Record<string, string | number>>;

/** Only this much of a preamble is looked through for a header. */
const PREAMBLE_LINES = 400;
/** With no row of numbers by then, the file is something else. */
const MAX_LINES_BEFORE_DATA = 5000;
const FIRST_ROWS = 4096;
/** A header found this soon after something that looked like data means that was preamble too. */
const FALSE_START_ROWS = 20;

/**
 * Reads delimited text (`\n` line ends) into columns of finite numbers.
 *
 * Comments, titles, units and headers may stand before the data; blank and comment lines also within it. The
 * separator and decimal mark are found from the first data line and then hold for the whole file. Every line
 * that does not fit is a problem with its number.
 */
export function readTable(
  file: string,
  text: string,
  content: FileContent | undefined,
  stated: StatedColumns | undefined,
  limits: ReadLimits,
): { table?: Table; problems: readonly Problem[] } {
  return new TableReading(file, text, content, stated, limits).read();
}

class TableReading {
  private readonly problems: Problem[] = [];
  private badLines = 0;
  private before: { readonly text: string; readonly line: number }[] = [];
  private linesBefore = 0;
  private refused: { readonly line: number; readonly refusal: Refusal } | undefined;
  private refusedRows = 0;
  private rows: TableRows | undefined;
  private chosen: { content: FileContent; columns: readonly WantedColumn[]; ignored: number } | undefined;
  private separator: Separator = ',';

  constructor(
    private readonly file: string,
    private readonly text: string,
    private readonly content: FileContent | undefined,
    private readonly stated: StatedColumns | undefined,
    private readonly limits: ReadLimits,
  ) {}

  read(): { table?: Table; problems: readonly Problem[] } {
    let start = 0;
    let line = 0;
    while (start < this.text.length) {
      let end = this.text.indexOf('\n', start);
      if (end < 0) end = this.text.length;
      line += 1;
      if (!this.takeLine(start, end, line)) return { problems: this.problems };
      start = end + 1;
    }
    return this.finish();
  }

  /** Returns false when reading must stop. */
  private takeLine(start: number, end: number, line: number): boolean {
    if (end - start > this.limits.lineChars) {
      return this.stop(line, {
        code: 'line-too-long',
        message: `The line has ${end - start} characters; a row of measurement data has far fewer.`,
        remedy: 'Export the data again as one row per frequency.',
      });
    }
    if (this.rows === undefined) return this.takeLineBeforeData(start, end, line);
    const outcome = this.rows.take(this.text, start, end, line);
    if (outcome === 'ok') return true;
    if (outcome === 'too-many') {
      return this.stop(line, {
        code: 'too-many-rows',
        message: `There are more than ${this.limits.textRows} rows.`,
        remedy: 'Export with fewer points; 48 per octave are plenty.',
      });
    }
    if (outcome === 'not-data') return this.takeOtherLine(this.text.slice(start, end), line);
    this.reportLine(line, outcome);
    return true;
  }

  private takeLineBeforeData(start: number, end: number, line: number): boolean {
    const text = this.text.slice(start, end);
    if (text.trim() === '') return true;
    const separator = separatorOfDataLine(text);
    if (separator !== undefined) return this.begin(text, separator, start, end, line);
    this.before.push({ text, line });
    if (this.before.length > PREAMBLE_LINES) this.before.shift();
    this.linesBefore += 1;
    return this.linesBefore < MAX_LINES_BEFORE_DATA || this.stopWithoutData();
  }

  private begin(text: string, separator: Separator, start: number, end: number, line: number): boolean {
    this.separator = separator;
    const cells = splitCells(text, separator);
    while (cells.at(-1) === '') cells.pop();
    const lines = this.before.map((earlier) => earlier.text);
    const header =
      this.statedHeader() ?? findHeader(lines, separator, cells.length, this.content ?? 'directivity');
    const width = Math.max(cells.length, header?.columns.length ?? 0);
    if (width > this.limits.textColumns) {
      return this.stop(line, {
        code: 'columns-not-understood',
        message: `The table has ${width} columns; at most ${this.limits.textColumns} are read.`,
        remedy: 'Split the table into several files.',
      });
    }
    const words = cells.findIndex((cell) => !isNumber(cell) && !isNotFinite(cell));
    const choice = chooseColumns(this.content, header?.columns, words < 0 ? cells.length : words);
    if (!('columns' in choice)) return this.refuse(text, line, choice);
    this.reportFaultyFirstRows(header?.at ?? this.before.length - 2, cells.length);
    this.chosen = choice;
    const capacity = Math.min(countLines(this.text, start), FIRST_ROWS);
    const quoted = this.text.includes('"');
    this.rows = new TableRows(
      choice.columns,
      separator,
      header?.columns.length,
      capacity,
      this.limits.textRows,
      quoted,
    );
    return this.takeLine(start, end, line);
  }

  /** No sense in these columns; but a header may still follow, and then this was preamble. */
  private refuse(text: string, line: number, refusal: Refusal): boolean {
    this.refused ??= { line, refusal };
    this.refusedRows += 1;
    this.before.push({ text, line });
    return this.refusedRows <= FALSE_START_ROWS || this.stop(this.refused.line, this.refused.refusal);
  }

  /**
   * A row between header and data (or, without a header, right above the data) that begins with a number and is
   * as wide as the data is data with a fault, not a comment.
   */
  private reportFaultyFirstRows(after: number, width: number): void {
    for (const { text, line } of this.before.slice(Math.max(0, after + 1))) {
      const cells = splitCells(text, this.separator);
      if (cells.length !== width || !isNumber(cells[0])) continue;
      const wrong = cells.find((cell) => !isNumber(cell)) ?? text.trim();
      this.reportLine(line, {
        code: wrong === '' ? 'missing-cell' : 'not-a-number',
        message: wrong === '' ? 'The row has an empty cell.' : `${quote(wrong)} is not a number.`,
        remedy: 'Correct or remove the row.',
      });
    }
  }

  /** A line that is not data although data has begun: a comment, a late header, or a fault. */
  private takeOtherLine(text: string, line: number): boolean {
    const found =
      this.stated === undefined
        ? headerColumns(text, this.separator, 0, this.content ?? 'directivity')
        : undefined;
    if (found !== undefined && this.rows !== undefined) {
      if (this.rows.count > FALSE_START_ROWS) {
        return this.stop(line, {
          code: 'second-table',
          message: 'A second table begins here.',
          remedy: 'Give each table its own file.',
        });
      }
      // What looked like data were numbers in the preamble.
      this.rows = undefined;
      this.problems.length = 0;
      this.badLines = 0;
      this.before = [{ text, line }];
      return true;
    }
    if (/^\s*[#*%!/'";]/.test(text)) return true;
    this.reportLine(line, {
      code: 'not-a-number',
      message: `Expected a row of numbers, found ${quote(text.trim())}.`,
      remedy: 'Remove the line, or put # before it if it is a comment.',
    });
    return true;
  }

  /** The manifest's `columns`, as if they were the header. */
  private statedHeader(): { columns: readonly ColumnMeaning[]; at?: number } | undefined {
    if (this.stated === undefined) return undefined;
    const content = this.content ?? 'directivity';
    if (Array.isArray(this.stated)) {
      return {
        columns: (this.stated as readonly (string | null)[]).map((name) =>
          columnMeaning(name ?? '', content),
        ),
      };
    }
    const named = Object.entries(this.stated as Readonly<Record<string, string | number>>);
    const places = named.map(([meaning, where]) => ({ meaning, place: this.placeOf(where) }));
    const width = Math.max(0, ...places.map(({ place }) => place + 1));
    const names = Array.from(
      { length: width },
      (_, index) => places.find(({ place }) => place === index)?.meaning,
    );
    return { columns: names.map((name) => columnMeaning(name ?? '', content)) };
  }

  private placeOf(where: string | number): number {
    if (typeof where === 'number') return where - 1;
    const wanted = where.trim().toLowerCase();
    for (const { text } of this.before.toReversed()) {
      const cells = splitCells(text.trim().replace(/^[#*%!]+\s*/, ''), this.separator);
      const at = cells.findIndex((cell) => cell.toLowerCase() === wanted);
      if (at >= 0) return at;
    }
    return -1;
  }

  private finish(): { table?: Table; problems: readonly Problem[] } {
    if (this.rows === undefined || this.chosen === undefined) {
      if (this.refused === undefined) this.stopWithoutData();
      else this.stop(this.refused.line, this.refused.refusal);
      return { problems: this.problems };
    }
    const ambiguity = this.rows.ambiguousDecimalComma();
    if (ambiguity !== undefined) this.reportLine(ambiguity.line, ambiguity.refusal);
    if (this.badLines > this.limits.problemsPerFile) {
      const more = this.badLines - this.limits.problemsPerFile;
      const message = `${more} more ${more === 1 ? 'line is' : 'lines are'} faulty.`;
      this.problems.push(problem(this.file, undefined, 'not-a-number', message, 'Export the file again.'));
    }
    if (this.problems.length > 0) return { problems: this.problems };
    const { lines, values } = this.rows.finish();
    const columns = this.chosen.columns.map(({ meaning }, at) => ({ meaning, values: values[at] }));
    return {
      table: { content: this.chosen.content, columns, lines, ignoredColumns: this.chosen.ignored },
      problems: [],
    };
  }

  private stopWithoutData(): false {
    const first = this.before[0];
    const begins = first === undefined ? 'it is blank' : `it begins ${quote(first.text.trim())}`;
    return this.stop(first?.line ?? 1, {
      code: 'no-data-rows',
      message: `No line holds two numbers side by side; ${begins}.`,
      remedy: 'Export it as text with one row per frequency: frequency, then value.',
    });
  }

  private reportLine(line: number, { code, message, remedy }: Refusal): void {
    this.badLines += 1;
    if (this.badLines <= this.limits.problemsPerFile) {
      this.problems.push(problem(this.file, line, code, message, remedy));
    }
  }

  private stop(line: number, { code, message, remedy }: Refusal): false {
    this.problems.push(problem(this.file, line, code, message, remedy));
    return false;
  }
}

function countLines(text: string, from: number): number {
  let count = text.endsWith('\n') ? 0 : 1;
  for (let at = text.indexOf('\n', from); at >= 0; at = text.indexOf('\n', at + 1)) count += 1;
  return count;
}
