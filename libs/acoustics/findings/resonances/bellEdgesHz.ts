/** The two frequencies at which a bell of this centre and Q has half its level, dB. */
export function bellEdgesHz(bell: {
  readonly centreHz: number;
  readonly q: number;
}): readonly [number, number] {
  const factor = Math.exp(Math.asinh(1 / (2 * bell.q)));
  return [bell.centreHz / factor, bell.centreHz * factor];
}
