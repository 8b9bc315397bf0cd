/**
 * A magnitude response explained in parts: a straight line over log frequency, a slow bend about it, roll-offs
 * at either end, and bells (resonances and their like).
 */
export interface ResponseModel {
  /** Level of the line at 1 kHz, dB. */
  readonly levelDb: number;
  readonly tiltDbPerOctave: number;
  readonly bend: Bend;
  readonly rollOffs: readonly RollOff[];
  readonly bells: readonly Bell[];
}

/** A uniform cubic B-spline over log frequency between two frequencies; no coefficients: no bend. */
export interface Bend {
  readonly rangeHz: readonly [number, number];
  readonly coefficientsDb: readonly number[];
  /** How large coefficients are expected to be, dB: the larger, the more is taken for bend and not for bells. */
  readonly expectedDb: number;
}

/** A second-order section. */
export interface RollOff {
  readonly side: 'high-pass' | 'low-pass';
  readonly cornerHz: number;
  readonly q: number;
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
