/** A booking in words. */
import type { BookingView, Spot } from '../contracts.js';
import { shortDay } from '../words/dates.js';
import { timeOfDay, wallClock } from '../words/houseClock.js';
import { listWords } from '../words/numbers.js';

/** `Tue 3 Jun, 09:00 to 13:00`; the second day too when it is another. */
export function whenWords(span: Pick<Spot, 'start' | 'finish'>, zone: string, today: string): string {
  const from = wallClock(span.start, zone).day;
  const to = wallClock(span.finish, zone).day;
  const end = `${from === to ? '' : `${shortDay(to, today)}, `}${timeOfDay(span.finish, zone)}`;
  return `${shortDay(from, today)}, ${timeOfDay(span.start, zone)} to ${end}`;
}

/** Who and where: `Mira, in the listening room`. */
export function whoWhereWords({ people, place }: Pick<Spot, 'people' | 'place'>): string {
  const who = listWords(people.map(({ name }) => name));
  if (who === '' && place === null) return 'runs by itself';
  return [who, place?.name ?? ''].filter((part) => part !== '').join(', ');
}

export const subjectWords = (booking: BookingView): string =>
  booking.unitName && !booking.loanTitle.includes(booking.unitName)
    ? `${booking.loanTitle}, ${booking.unitName}`
    : booking.loanTitle;

export const fullWords = (booking: BookingView, zone: string, today: string): string =>
  [
    `${booking.label} of ${subjectWords(booking)}`,
    whenWords(booking, zone, today),
    whoWhereWords(booking),
    ...(booking.pinned ? ['pinned'] : []),
    ...(booking.state === 'planned' ? [] : [booking.state === 'over' ? 'over' : 'under way']),
  ].join('; ');
