import type { Motor } from '../physics/loudspeaker.js';

/** Effective piston radius in metres of common cone and dome sizes [common practice, no source]. */
export const RADIUS_M = {
  dome25: 0.0135,
  cone100: 0.04,
  cone130: 0.052,
  cone165: 0.066,
  cone200: 0.083,
  cone300: 0.129,
  cone380: 0.165,
} as const;

/** A driver's motor from its radius, excursion limit, heat limit and residual distortion. */
export function motor(
  radiusM: number,
  limitMm: number,
  heatLimitDb: number,
  second = 0.18,
  third = 0.1,
): Motor {
  return {
    areaM2: Math.PI * radiusM ** 2,
    limitMm,
    residualPercent: { second, third },
    heatLimitDb,
  };
}
