/**
 * How long a level may be stood without protection in a day: T = 8 h / 2^((L - 85)/3) (NIOSH publication
 * 98-126, recommended exposure limit 85 dBA over 8 hours, 3 dB exchange rate).
 *
 * @param levelDba A-weighted level, dB
 * @returns minutes
 * @example allowedMinutes(94) // 60
 */
export function allowedMinutes(levelDba: number): number {
  return 480 / 2 ** ((levelDba - 85) / 3);
}
