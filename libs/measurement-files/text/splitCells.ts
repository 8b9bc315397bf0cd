/** What stands between two cells; `space` is any run of blanks and tabs. */
export type Separator = ';' | '\t' | ',' | 'space';

/** Tried in this order: a semicolon or tab is never part of a number, a comma may be, a blank may follow any. */
export const SEPARATORS: readonly Separator[] = [';', '\t', ',', 'space'];

/**
 * One line to trimmed cells, with RFC 4180 quoting (`"a ""b"""`); a cell's quotes are taken off. This is the
 * careful, slow way: for headers, and for data lines that hold quotes.
 */
export function splitCells(line: string, separator: Separator): string[] {
  const text = line.trim();
  if (separator === 'space' && !text.includes('"')) return text === '' ? [] : text.split(/[ \t]+/);
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let at = 0; at < text.length; at += 1) {
    const c = text[at];
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[at + 1] === '"') {
        cell += '"';
        at += 1;
      } else quoted = false;
    } else if (c === '"' && cell.trim() === '') {
      quoted = true;
      cell = '';
    } else if (isSeparator(c, separator)) {
      if (separator !== 'space' || cell !== '') cells.push(cell.trim());
      cell = '';
    } else cell += c;
  }
  cells.push(cell.trim());
  return cells;
}

function isSeparator(c: string, separator: Separator): boolean {
  return separator === 'space' ? c === ' ' || c === '\t' : c === separator;
}

const NUMBER = /^[+\-\u2212]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d{1,3})?$/i;
const NOT_FINITE =
  /^[+-]?(?:nan|inf|infinity|\u221e|1\.#\w+|#(?:num|value|div\/0|ref|n\/a|name|null|inf|ind|nan)[!?]?|\d[\d.,]*e\+?\d{3,})$/i;
const MAY_BEGIN_DATA = /^\s*["+\-\u2212.\d\u221eni#]/i;

/** Whether a cell is a number in either decimal notation. */
export function isNumber(cell: string): boolean {
  return NUMBER.test(cell);
}

/** Whether a cell is one of the ways programs write "no number" (nan, -inf, 1.#IND, #NUM!, 1e999). */
export function isNotFinite(cell: string): boolean {
  return NOT_FINITE.test(cell);
}

/**
 * The separator under which a line is a row of data (its first two cells are numbers), or undefined when the
 * line is a comment, a header or text.
 */
export function separatorOfDataLine(line: string): Separator | undefined {
  if (!MAY_BEGIN_DATA.test(line)) return undefined;
  return SEPARATORS.find((separator) => {
    if (separator !== 'space' && !line.includes(separator)) return false;
    const cells = splitCells(line, separator);
    const [first, second] = cells.map((cell) => (isNumber(cell) ? 2 : isNotFinite(cell) ? 1 : 0));
    return first !== undefined && second !== undefined && first > 0 && second > 0 && first + second > 2;
  });
}
