/** Frequencies as people say them: three digits at most. */
export function sayHz(hz: number): string {
  return hz >= 1000 ? `${Number((hz / 1000).toPrecision(3))} kHz` : `${Number(hz.toPrecision(3))} Hz`;
}

export const sayBand = (fromHz: number, toHz: number): string => `${sayHz(fromHz)} to ${sayHz(toHz)}`;
