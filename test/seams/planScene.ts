/** Loans to plan, days to plan them on, and the way from a proposal to a plan in force. */
import { DateTime } from 'luxon';
import type { BookingView, LoanView, PlanView } from '../../libs/contracts/index.js';
import type { Visitor } from './visitor.js';

export const ZONE = 'Europe/Berlin';
/** A day of the house, so many days from today. */
export const dayFromNow = (days: number): string =>
  DateTime.now().setZone(ZONE).plus({ days }).toFormat('yyyy-MM-dd');
/** The first Monday at least so many days ahead, at a time of day. */
export const mondayAt = (daysAhead: number, clock: string): string => {
  let day = DateTime.now().setZone(ZONE).plus({ days: daysAhead }).startOf('day');
  while (day.weekday !== 1) day = day.plus({ days: 1 });
  const [hour, minute] = clock.split(':').map(Number) as [number, number];
  return day.set({ hour, minute }).toUTC().toISO() ?? '';
};

export interface LoanWish {
  readonly title: string;
  readonly arrivesIn?: number;
  readonly dueIn?: number;
  readonly kind?: 'standmount' | 'subwoofer' | 'active';
}

export async function addLoans(visitor: Visitor, wishes: readonly LoanWish[]): Promise<LoanView[]> {
  const maker = await visitor.client.addMaker({ name: 'Plover & Teal (invented)' });
  const loans: LoanView[] = [];
  for (const { title, arrivesIn = 3, dueIn = 60, kind = 'standmount' } of wishes) {
    const loan = await visitor.client.addLoan({
      makerId: maker.id,
      title,
      arrivalFrom: dayFromNow(arrivesIn),
      arrivalTo: dayFromNow(arrivesIn),
      returnBy: dayFromNow(dueIn),
    });
    await visitor.client.addUnit(loan.id, { name: title, kind });
    loans.push(await visitor.client.loan(loan.id));
  }
  return loans;
}

/** Proposes and accepts: the plan in force follows the facts. */
export async function acceptPlan(visitor: Visitor): Promise<PlanView> {
  const proposal = await visitor.client.proposePlan();
  return visitor.client.acceptPlan(proposal.id, { version: proposal.version });
}

export async function allBookings(visitor: Visitor): Promise<BookingView[]> {
  return (await visitor.client.bookings(dayFromNow(0), dayFromNow(95))).bookings;
}

/** Every pair that takes the same person or place at the same time. */
export function clashes(bookings: readonly BookingView[]): string[] {
  const found: string[] = [];
  bookings.forEach((a, at) => {
    for (const b of bookings.slice(at + 1)) {
      if (a.start >= b.finish || b.start >= a.finish) continue;
      const people = a.people.filter(({ id }) => b.people.some((other) => other.id === id));
      const place = a.place !== null && a.place.id === b.place?.id;
      if (people.length > 0 || place)
        found.push(`${a.label} of ${a.loanTitle} and ${b.label} of ${b.loanTitle}`);
    }
  });
  return found;
}
