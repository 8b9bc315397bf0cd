/** The four terms of the general model. */
export interface PreferenceTerms {
  /** Narrow band deviation on axis, dB. */
  readonly nbdOnAxis: number;
  /** Narrow band deviation of the estimated in-room curve, dB. */
  readonly nbdInRoom: number;
  /** Low-frequency extension, Hz. */
  readonly lowFrequencyHz: number;
  /** Smoothness of the estimated in-room curve, 0..1. */
  readonly smInRoom: number;
}

/**
 * Predicted preference rating, general model of Olive 2004 (AES convention paper 6190, r = 0.86; formula
 * from memory). An estimate with that spread, never a verdict. The method has been patented.
 *
 * @example preferenceRating({ nbdOnAxis: 0, nbdInRoom: 0, lowFrequencyHz: 20, smInRoom: 1 }) // 9.402561
 */
export function preferenceRating({
  nbdOnAxis,
  nbdInRoom,
  lowFrequencyHz,
  smInRoom,
}: PreferenceTerms): number {
  return 12.69 - 2.49 * nbdOnAxis - 2.99 * nbdInRoom - 4.31 * Math.log10(lowFrequencyHz) + 2.32 * smInRoom;
}
