import { sayNumber } from './sayNumber.js';

/** A frequency for a sentence, three significant digits: `82.4 Hz`, `1.25 kHz`. */
export function sayHz(hz: number): string {
  return hz >= 999.5 ? `${sayNumber(hz / 1000)} kHz` : `${sayNumber(hz)} Hz`;
}
