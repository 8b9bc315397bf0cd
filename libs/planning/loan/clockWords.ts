import { DateTime } from 'luxon';
import type { SlotGrid } from '../calendar/slotGrid.js';

const weekdays = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** Slots as words a team reads: "Tue 3 Jun 14:15" on the clock of the house. */
export class ClockWords {
  constructor(
    private readonly grid: SlotGrid,
    private readonly zone: string,
  ) {}

  at(slot: number): string {
    const time = DateTime.fromMillis(this.grid.instantMs(slot), { zone: this.zone });
    const clock = `${String(time.hour).padStart(2, '0')}:${String(time.minute).padStart(2, '0')}`;
    return `${weekdays[time.weekday - 1]} ${time.day} ${months[time.month - 1]} ${clock}`;
  }

  /** YYYY-MM-DD of the house. */
  date(slot: number): string {
    return DateTime.fromMillis(this.grid.instantMs(slot), { zone: this.zone }).toFormat('yyyy-MM-dd');
  }
}
