/** An invented two-way loudspeaker, as plain physics. Lengths in metres, frequencies in Hz. */
export interface LoudspeakerModel {
  /** Level far above the bass corner, dB SPL at 2.83 V and 1 m. */
  readonly levelDb: number;
  readonly bassCornerHz: number;
  readonly crossoverHz: number;
  readonly wooferRadiusM: number;
  readonly tweeterRadiusM: number;
  /** Woofer's centre under the tweeter's. */
  readonly spacingM: number;
  /** Woofer's acoustic centre behind the tweeter's. */
  readonly recessM: number;
  /** Tweeter to the right of the cabinet's middle. */
  readonly tweeterOffsetM: number;
  readonly cabinetWidthM: number;
  /** Pressure radiated straight back at high frequencies, relative to the front: 0 box, -1 dipole. */
  readonly rear: number;
}

/** A stand-mounted two-way. */
export const twoWay: LoudspeakerModel = {
  levelDb: 86,
  bassCornerHz: 52,
  crossoverHz: 2400,
  wooferRadiusM: 0.065,
  tweeterRadiusM: 0.013,
  spacingM: 0.17,
  recessM: 0.02,
  tweeterOffsetM: 0,
  cabinetWidthM: 0.2,
  rear: 0.08,
};
