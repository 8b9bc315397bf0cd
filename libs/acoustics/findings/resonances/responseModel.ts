/**
 * A magnitude response explained in parts: a straight line over log frequency, the roll-off of the bass
 * (none, one or two second-order high-pass sections), steps, and bells (resonances and their like).
 */
export interface ResponseModel {
  /** Level of the line at 1 kHz, dB. */
  readonly levelDb: number;
  readonly tiltDbPerOctave: number;
  readonly highPass: readonly HighPassSection[];
  readonly steps: readonly Step[];
  readonly bells: readonly Bell[];
}

export interface HighPassSection {
  readonly cornerHz: number;
  readonly q: number;
}

/** A level change of `levelDb` from below to above `centreHz`; `sharpness` is the logistic's slope per neper. */
export interface Step {
  readonly centreHz: number;
  readonly levelDb: number;
  readonly sharpness: number;
}

/** `q` is the centre over the distance between the two frequencies of half `levelDb`. */
export interface Bell {
  readonly centreHz: number;
  readonly levelDb: number;
  readonly q: number;
  readonly shape: BellShape;
}

/** `resonance`: a second-order bandpass added to the direct sound; `gaussian`: a bell in log frequency. */
export type BellShape = 'resonance' | 'gaussian';

/** What a model is fitted to. Arrays have equal length. */
export interface ResponseData {
  /** Rising. */
  readonly hz: Float64Array;
  readonly levelDb: Float64Array;
  /** How far each point may lie from a right model, dB. */
  readonly sigmaDb: Float64Array;
  /** How strongly each misfit is compared with its neighbour's instead of with zero, 0..1; 0 for white misfits. */
  readonly drift: number;
}
