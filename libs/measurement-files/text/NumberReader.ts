/** Powers of ten a double holds exactly. */
const EXACT_POWERS = Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));
const MAX_EXACT_DIGITS = 15;

const ZERO = 48;
const NINE = 57;
const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const COMMA = 44;
const TRUE_MINUS = 0x2212;

/**
 * Reads decimal numbers in place from a long text and remembers which decimal marks it met.
 *
 * Written by hand because a measurement set is some 70,000 short lines and must be read within a start-up:
 * splitting every line into strings and converting each took most of the time. Results are the same doubles as
 * `Number()` gives: up to 15 digits and powers within 10^22 are scaled by one exact operation (Clinger's fast
 * path), anything longer is handed to `Number()`.
 */
export class NumberReader {
  sawPoint = false;
  sawComma = false;

  /**
   * The number written in `text[start, end)`, with `.` or `,` as decimal mark; NaN when it is anything else
   * (empty, words, two marks, hexadecimal, "nan", "inf").
   */
  read(text: string, start: number, end: number): number {
    let at = start;
    let code = text.charCodeAt(at);
    const negative = code === MINUS || code === TRUE_MINUS;
    if (negative || code === PLUS) at += 1;
    let mantissa = 0;
    let digits = 0;
    let fraction = 0;
    let mark = 0;
    for (; at < end; at += 1) {
      code = text.charCodeAt(at);
      if (code >= ZERO && code <= NINE) {
        mantissa = mantissa * 10 + (code - ZERO);
        digits += 1;
        if (mark !== 0) fraction += 1;
      } else if ((code === POINT || code === COMMA) && mark === 0) mark = code;
      else break;
    }
    if (digits === 0) return NaN;
    if (mark === POINT) this.sawPoint = true;
    else if (mark === COMMA) this.sawComma = true;
    const exponent = at < end ? readExponent(text, at, end) : 0;
    if (Number.isNaN(exponent)) return NaN;
    const power = exponent - fraction;
    if (digits > MAX_EXACT_DIGITS || power < -22 || power > 22) {
      return Number(text.slice(start, end).replace(',', '.').replace('\u2212', '-'));
    }
    const value = power < 0 ? mantissa / EXACT_POWERS[-power] : mantissa * EXACT_POWERS[power];
    return negative ? -value : value;
  }
}

/** `e+02` and the like; NaN when the rest of the cell is not an exponent. */
function readExponent(text: string, start: number, end: number): number {
  const letter = text.charCodeAt(start) | 32;
  if (letter !== 101) return NaN;
  let at = start + 1;
  const sign = text.charCodeAt(at);
  if (at < end && (sign === PLUS || sign === MINUS)) at += 1;
  if (at >= end || end - at > 4) return NaN;
  let value = 0;
  for (; at < end; at += 1) {
    const code = text.charCodeAt(at);
    if (code < ZERO || code > NINE) return NaN;
    value = value * 10 + (code - ZERO);
  }
  return sign === MINUS ? -value : value;
}
