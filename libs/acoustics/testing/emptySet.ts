import type { MeasurementSet } from '../series.js';

/** A measurement set with nothing in it, to build test sets from. */
export function emptySet(parts: Partial<MeasurementSet> = {}): MeasurementSet {
  return {
    conditions: {},
    inputs: [],
    angles: [],
    impulses: [],
    recordings: [],
    impedance: [],
    distortion: [],
    multitone: [],
    compression: [],
    inRoom: [],
    calibrations: [],
    quality: [],
    ...parts,
  };
}
