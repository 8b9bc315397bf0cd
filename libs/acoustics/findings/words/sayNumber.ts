/** A number for a sentence: three significant digits at most, no trailing zeros, never in powers of ten. */
export function sayNumber(value: number): string {
  return String(Number(value.toPrecision(3)));
}
