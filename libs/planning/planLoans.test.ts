import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { planLoans, type LoanInput, type PlanLoansInput } from './planLoans.js';

const zone = 'Europe/Vienna';
const at = (text: string): string => DateTime.fromISO(text, { zone }).toUTC().toISO() as string;

function loan(changes: Partial<LoanInput> = {}): LoanInput {
  return {
    id: 'a',
    title: 'Loan A',
    arrival: at('2026-03-03T10:00'),
    arrived: false,
    returnBy: at('2026-03-27T18:00'),
    freightDaysIn: 3,
    freightDaysOut: 3,
    keepUntilPublished: false,
    units: [{ id: 'u', name: 'Unit U', kind: 'standmount' }],
    ...changes,
  };
}

function house(changes: Partial<PlanLoansInput> = {}): PlanLoansInput {
  return {
    now: at('2026-03-02T09:00'),
    house: { zone },
    people: [
      { id: 'ada', name: 'Ada' },
      { id: 'bo', name: 'Bo' },
    ],
    places: [
      { id: 'rig', name: 'the rig' },
      { id: 'room', name: 'the listening room' },
    ],
    loans: [loan()],
    ...changes,
  };
}

describe('planLoans', () => {
  it('books every step of a loan, and tells when the crate must arrive', () => {
    const { loans, bookings, problems } = planLoans(house());
    expect(problems).toEqual([]);
    expect(loans[0]?.state).toBe('on-track');
    expect(loans[0]?.lateMinutes).toBe(0);
    expect(new Set(bookings.map(({ stepId }) => stepId)).size).toBe(11);
    // Three carrier days before Friday 27 March: collected by the close of Tuesday 24.
    expect(loans[0]?.sendBackBy).toBe(at('2026-03-24T18:00'));
    expect(Date.parse(loans[0]?.mustArriveBy ?? '')).toBeLessThan(Date.parse(loans[0]?.sendBackBy ?? ''));
  });

  it('asks for an extension when the crate comes too late', () => {
    const { loans } = planLoans(house({ loans: [loan({ arrival: at('2026-03-24T10:00') })] }));
    expect(loans[0]?.state).toBe('late');
    expect(loans[0]?.askForExtensionTo).toMatch(/^2026-(03-3|04-)/);
    expect(loans[0]?.why).toContain('the crate has not arrived before');
  });

  it('leaves the plan in force alone when nothing has changed', () => {
    const first = planLoans(house());
    expect(planLoans(house({ previous: first.bookings })).changes).toEqual([]);
  });
});
