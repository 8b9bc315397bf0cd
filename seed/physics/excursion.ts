import { AIR_DENSITY_KG_PER_M3 } from './air.js';
import { fromDecibels } from './complex.js';
import type { Motor } from './loudspeaker.js';

const REFERENCE_PRESSURE_PA = 20e-6;

/**
 * Peak excursion over the limit for a half-space pressure `pressure` (RMS at 1 m, re 20 micropascal).
 *
 * A small source of volume velocity U in a baffle gives p = rho f U at 1 m (Beranek, "Acoustics"), and the cone
 * moves by U / (2 pi f area).
 */
export function excursionRatio(motor: Motor, frequencyHz: number, pressure: number): number {
  const volumeVelocity = (pressure * REFERENCE_PRESSURE_PA) / (AIR_DENSITY_KG_PER_M3 * frequencyHz);
  const peakM = (Math.SQRT2 * volumeVelocity) / (2 * Math.PI * frequencyHz * motor.areaM2);
  return (peakM * 1000) / motor.limitMm;
}

/** Together 10 % at the limit, the usual mark of an excursion limit [common practice, no source]. */
const SECOND_AT_LIMIT_PERCENT = 5;
const THIRD_AT_LIMIT_PERCENT = 8.5;

/** Second and third harmonic of one driver, percent, at `ratio` of its limit and a nominal `levelDb`. */
export function driverHarmonics(
  motor: Motor,
  ratio: number,
  levelDb: number,
): { readonly second: number; readonly third: number } {
  const louder = fromDecibels(levelDb - 86);
  const moved = ratio / (1 + 0.2 * ratio);
  return {
    second: Math.hypot(motor.residualPercent.second * louder ** 0.7, SECOND_AT_LIMIT_PERCENT * moved),
    third: Math.hypot(motor.residualPercent.third * louder ** 1.2, THIRD_AT_LIMIT_PERCENT * moved ** 2),
  };
}
