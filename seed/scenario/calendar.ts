const DAY_MS = 86_400_000;

/** Days and instants relative to the demo's today. */
export interface DemoCalendar {
  readonly today: string;
  /** The day `offset` days from today, moved on to Monday when it falls on a weekend. */
  readonly workday: (offset: number) => string;
  /** The `count`-th working day after today. */
  readonly workingDay: (count: number) => string;
  readonly day: (offset: number) => string;
  /** `day(offset)` at `hour` o'clock UTC. */
  readonly at: (offset: number, hour: number) => string;
}

/** Throws unless `today` is a day such as 2026-03-02. */
export function demoCalendar(today: string): DemoCalendar {
  const start = Date.parse(`${today}T00:00:00Z`);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(today) || Number.isNaN(start)) {
    throw new Error(`The demo's today must be a day such as 2026-03-02, not "${today}".`);
  }
  const day = (offset: number) => new Date(start + offset * DAY_MS).toISOString().slice(0, 10);
  const workday = (offset: number) => {
    const weekday = new Date(start + offset * DAY_MS).getUTCDay();
    return day(offset + (weekday === 6 ? 2 : weekday === 0 ? 1 : 0));
  };
  const workingDay = (count: number) => {
    let offset = 0;
    for (let left = count; left > 0; offset += 1) {
      const weekday = new Date(start + (offset + 1) * DAY_MS).getUTCDay();
      if (weekday !== 0 && weekday !== 6) left -= 1;
    }
    return day(offset);
  };
  const at = (offset: number, hour: number) => `${day(offset)}T${String(hour).padStart(2, '0')}:00:00.000Z`;
  return { today, day, workday, workingDay, at };
}
