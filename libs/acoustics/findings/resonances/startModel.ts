import type { ResponseData, ResponseModel } from './responseModel.js';

/**
 * A line and, when the data falls off at its low end, a fourth-order bass roll-off to start fitting from: the
 * line's level is the data's median, the corner lies where the data comes within 3 dB of it. A second-order
 * roll-off is the same with one section below the data.
 */
export function startModel(data: ResponseData): ResponseModel {
  const sorted = Float64Array.from(data.levelDb).sort();
  const levelDb = sorted[sorted.length >> 1];
  const above = data.levelDb.findIndex((level) => level > levelDb - 3);
  const cornerHz = data.hz[Math.max(0, above)];
  const highPass =
    above > 0
      ? [
          { cornerHz, q: 0.54 },
          { cornerHz, q: 1.31 },
        ]
      : [];
  return { levelDb, tiltDbPerOctave: 0, highPass, steps: [], bells: [] };
}
