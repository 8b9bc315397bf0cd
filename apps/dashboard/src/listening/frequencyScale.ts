/** A strip of the audible range on a logarithmic scale: where a frequency stands on it, and how a range is moved. */
export const LOWEST_HZ = 20;
export const HIGHEST_HZ = 20_000;
const DECADES = Math.log10(HIGHEST_HZ / LOWEST_HZ);
/** A step of a key: a twelfth of an octave; a long one a third. */
export const STEP = 2 ** (1 / 12);
export const LONG_STEP = 2 ** (1 / 3);

export interface Range {
  readonly fromHz: number;
  readonly toHz: number;
}

/** @returns 0 at 20 Hz to 1 at 20 kHz; what lies outside stands at the end */
export const placeOf = (hz: number): number => Math.min(1, Math.max(0, Math.log10(hz / LOWEST_HZ) / DECADES));

/** @returns three significant digits: nobody hears where to more */
export const hzAt = (place: number): number =>
  rounded(LOWEST_HZ * 10 ** (Math.min(1, Math.max(0, place)) * DECADES));

export const rounded = (hz: number): number =>
  Number(Math.min(HIGHEST_HZ, Math.max(LOWEST_HZ, hz)).toPrecision(3));

/** One end moved; the ends never cross. */
export function withEnd(range: Range, end: 'from' | 'to', hz: number): Range {
  const at = rounded(hz);
  return end === 'from'
    ? { fromHz: Math.min(at, range.toHz), toHz: range.toHz }
    : { fromHz: range.fromHz, toHz: Math.max(at, range.fromHz) };
}

export const between = (one: number, other: number): Range => ({
  fromHz: Math.min(one, other),
  toHz: Math.max(one, other),
});

/** Band edges a third of an octave apart about a frequency: IEC 61260-1, base ten (G = 10^0.3). */
export const thirdOctave = (hz: number): Range => ({ fromHz: hz * 10 ** -0.05, toHz: hz * 10 ** 0.05 });

/** What a key does to one end; undefined for keys that do nothing. */
export function keyMove(key: string, hz: number): number | undefined {
  switch (key) {
    case 'ArrowRight':
    case 'ArrowUp':
      return rounded(hz * STEP);
    case 'ArrowLeft':
    case 'ArrowDown':
      return rounded(hz / STEP);
    case 'PageUp':
      return rounded(hz * LONG_STEP);
    case 'PageDown':
      return rounded(hz / LONG_STEP);
    case 'Home':
      return LOWEST_HZ;
    case 'End':
      return HIGHEST_HZ;
    default:
      return undefined;
  }
}
