import { DateTime } from 'luxon';

/** One civil day in one zone, in slots. A day of a clock change has 92 or 100 quarter hours. */
export interface CivilDay {
  /** YYYY-MM-DD */
  readonly date: string;
  /** 1 = Monday .. 7 = Sunday (ISO 8601). */
  readonly weekday: number;
  /** Instant of local midnight, milliseconds since 1970 UTC. */
  readonly startMs: number;
  readonly endMs: number;
}

/**
 * The mapping between instants and the engine's integer slots. Slots are equal stretches of real time from an origin,
 * so a day of a clock change simply has more or fewer of them; wall-clock times are turned into instants per zone.
 */
export class SlotGrid {
  private readonly days = new Map<string, readonly CivilDay[]>();

  /**
   * @param originMs instant of slot 0, a whole number of slots since 1970 UTC
   * @param slotMinutes 15 unless asked otherwise; a divisor of 60
   * @param slots length of the horizon
   */
  constructor(
    readonly originMs: number,
    readonly slotMinutes: number,
    readonly slots: number,
  ) {}

  get slotMs(): number {
    return this.slotMinutes * 60_000;
  }

  /** First slot boundary at or after an instant. */
  atOrAfter(instantMs: number): number {
    return Math.ceil((instantMs - this.originMs) / this.slotMs);
  }

  /** Last slot boundary at or before an instant. */
  atOrBefore(instantMs: number): number {
    return Math.floor((instantMs - this.originMs) / this.slotMs);
  }

  instantMs(slot: number): number {
    return this.originMs + slot * this.slotMs;
  }

  /** The instant as ISO 8601 in UTC. */
  iso(slot: number): string {
    return new Date(this.instantMs(slot)).toISOString();
  }

  /** Slots that hold so many minutes of work. */
  slotsFor(minutes: number): number {
    return Math.ceil(minutes / this.slotMinutes);
  }

  /** Every civil day of a zone that touches the horizon. */
  civilDays(zone: string): readonly CivilDay[] {
    const known = this.days.get(zone);
    if (known) return known;
    const days: CivilDay[] = [];
    const endMs = this.instantMs(this.slots);
    let day = DateTime.fromMillis(this.originMs, { zone }).startOf('day');
    while (day.toMillis() < endMs) {
      const next = day.plus({ days: 1 }).startOf('day');
      days.push({
        date: day.toFormat('yyyy-MM-dd'),
        weekday: day.weekday,
        startMs: day.toMillis(),
        endMs: next.toMillis(),
      });
      day = next;
    }
    this.days.set(zone, days);
    return days;
  }
}

/** Floor an instant to a whole slot. */
export function floorToSlot(instantMs: number, slotMinutes: number): number {
  const slotMs = slotMinutes * 60_000;
  return Math.floor(instantMs / slotMs) * slotMs;
}
