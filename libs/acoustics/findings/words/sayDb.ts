/** The size of a level difference for a sentence, one decimal, no sign: `3.2 dB`. */
export function sayDb(levelDb: number): string {
  return `${Math.abs(levelDb).toFixed(1)} dB`;
}
