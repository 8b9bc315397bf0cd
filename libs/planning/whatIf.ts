import { planLoans } from './planLoans.js';
import type { BookingChange, LoanInput, LoanPlan, PlanLoansInput, PlanProblem } from './loan/types.js';

/** What taking on one more loan would mean. */
export interface WhatIf {
  /** The new loan's own plan: when it could be reviewed, published and returned, and whether that is in time. */
  readonly loan: LoanPlan;
  /** Loans that would go back later than they would without it, with the minutes each would be late. */
  readonly madeLater: readonly { readonly loanId: string; readonly lateMinutes: number }[];
  /** Bookings of other loans that would have to move. */
  readonly changes: readonly BookingChange[];
  readonly problems: readonly PlanProblem[];
}

/**
 * Plan as if one more loan had been agreed, without changing anything: what is booked stays as far as it can, the new
 * loan takes the room that is left. A loan without an arrival date is taken to arrive as soon as its freight allows.
 */
export function whatIf(input: PlanLoansInput, loan: LoanInput): WhatIf {
  const without = planLoans(input);
  const previous = input.previous ?? without.bookings;
  const arrival = loan.arrival ?? soonestArrival(input, loan);
  const others = input.loans.filter(({ id }) => id !== loan.id);
  const candidate = { ...loan, arrival };
  const plans = planLoans({ ...input, loans: [...others, candidate], previous });
  const before = new Map(without.loans.map((plan) => [plan.loanId, plan.lateMinutes ?? 0]));
  return {
    loan: plans.loans.at(-1) as LoanPlan,
    madeLater: plans.loans.flatMap(({ loanId, lateMinutes }) =>
      loanId !== loan.id && (lateMinutes ?? 0) > (before.get(loanId) ?? 0)
        ? [{ loanId, lateMinutes: lateMinutes ?? 0 }]
        : [],
    ),
    changes: plans.changes.filter(({ loanId }) => loanId !== loan.id),
    problems: plans.problems.filter((problem) => problem.loanId === loan.id),
  };
}

/** Sent today: a day longer than the freight takes, weekends taken at their share. */
function soonestArrival(input: PlanLoansInput, loan: LoanInput): string {
  const days = Math.ceil(((loan.freightDaysIn + 1) * 7) / 5);
  return new Date(Date.parse(input.now) + days * 86_400_000).toISOString();
}
