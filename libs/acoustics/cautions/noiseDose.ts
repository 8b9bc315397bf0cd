import { allowedMinutes } from './allowedMinutes.js';

export interface NoiseExposure {
  readonly levelDba: number;
  readonly minutes: number;
}

export interface NoiseDose {
  /** 100 % is the recommended limit for a day. */
  readonly percent: number;
  /** Eight-hour time-weighted average, dBA; absent when there is no exposure. */
  readonly timeWeightedAverageDba?: number;
}

/**
 * Noise dose of whoever stays in the room: 100 sum(C/T) %, and the level that would give the same dose
 * over eight hours, 10 log10(dose/100) + 85 (NIOSH publication 98-126, section 1.1).
 *
 * Wear protection, warn the house and follow local rules whatever the figure says.
 *
 * @throws RangeError when a time is negative or a number is not finite
 * @example noiseDose([{ levelDba: 88, minutes: 240 }, { levelDba: 91, minutes: 60 }]) // 150 %, 86.76 dBA
 */
export function noiseDose(exposures: readonly NoiseExposure[]): NoiseDose {
  let percent = 0;
  for (const { levelDba, minutes } of exposures) {
    if (!Number.isFinite(levelDba) || !Number.isFinite(minutes) || minutes < 0) {
      throw new RangeError(
        `An exposure of ${minutes} min at ${levelDba} dBA can't be counted: give a level in dBA and minutes of 0 or more.`,
      );
    }
    percent += (100 * minutes) / allowedMinutes(levelDba);
  }
  if (percent === 0) return { percent };
  return { percent, timeWeightedAverageDba: 10 * Math.log10(percent / 100) + 85 };
}
