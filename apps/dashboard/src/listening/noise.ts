/** How long a level may be listened to: T = 8 h / 2^((L - 85) / 3) [NIOSH 98-126]. */
export function allowedHours(levelDb: number): number {
  return 8 / 2 ** ((levelDb - 85) / 3);
}

/** The caution for a level, from where it limits a working day; null below. */
export function levelCaution(levelDb: number): string | null {
  if (!(levelDb >= 85)) return null;
  const hours = allowedHours(levelDb);
  const words =
    hours >= 1 ? `${Number(hours.toPrecision(2))} h` : `${Math.max(1, Math.round(hours * 60))} min`;
  return `At ${levelDb} dBA the day’s noise dose is reached after ${words} (NIOSH 98-126). Protect your hearing.`;
}
