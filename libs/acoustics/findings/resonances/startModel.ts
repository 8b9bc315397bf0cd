import type { ResponseData, ResponseModel, RollOff } from './responseModel.js';

/** Knots of the bend, octaves apart: too far for it to take the place of a bell. */
const BEND_OCTAVES = 2;
/** Common practice, no source. */
const BEND_DB = 0.7;
/** Data that ends below this says nothing of the top roll-off. */
const TREBLE_HZ = 10_000;

/**
 * A line and roll-offs to start fitting from.
 *
 * The line's level is the data's median. When the data falls off at its low end there is a fourth-order
 * roll-off where it comes within 3 dB of the line (a second-order one is the same with one section below the
 * data); when it reaches into the treble there is a second-order one above hearing, and when it ends sooner and
 * falls there, a fourth-order one.
 */
export function startModel(data: ResponseData): ResponseModel {
  const sorted = Float64Array.from(data.levelDb).sort();
  const levelDb = sorted[sorted.length >> 1];
  const above = data.levelDb.findIndex((level) => level > levelDb - 3);
  const rollOffs: RollOff[] = [];
  if (above > 0) {
    rollOffs.push({ side: 'high-pass', cornerHz: data.hz[above], q: 0.54 });
    rollOffs.push({ side: 'high-pass', cornerHz: data.hz[above], q: 1.31 });
  }
  const rangeHz = [data.hz[0], data.hz[data.hz.length - 1]] as const;
  const below = data.levelDb.findLastIndex((level) => level > levelDb - 3);
  if (rangeHz[1] > TREBLE_HZ) {
    rollOffs.push({ side: 'low-pass', cornerHz: 30_000, q: 0.7 });
  } else if (below < data.levelDb.length - 1) {
    rollOffs.push({ side: 'low-pass', cornerHz: data.hz[below], q: 0.54 });
    rollOffs.push({ side: 'low-pass', cornerHz: data.hz[below], q: 1.31 });
  }
  const knots = Math.max(1, Math.round(Math.log2(rangeHz[1] / rangeHz[0]) / BEND_OCTAVES)) + 3;
  const coefficientsDb = Array.from({ length: knots }, () => 0);
  return {
    levelDb,
    tiltDbPerOctave: 0,
    bend: { rangeHz, coefficientsDb, expectedDb: BEND_DB },
    rollOffs,
    bells: [],
  };
}
