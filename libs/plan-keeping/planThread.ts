/** What runs in the planning threads: the engine, and the reading of calendars that may be hostile. */
import { CalendarRefused } from '../calendars/contentLines.js';
import { readBusyTimes, type BusyTimes, type BusyTimesInput } from '../calendars/readBusyTimes.js';
import { planLoans, type LoanPlans, type PlanLoansInput } from '../planning/planLoans.js';

export function plan(input: PlanLoansInput): LoanPlans {
  return planLoans(input);
}

/** Errors lose their class on the way between threads: a refusal goes as a value. */
export type BusyOutcome = { readonly busy: BusyTimes } | { readonly line: number; readonly message: string };

export function busyTimes(input: BusyTimesInput): BusyOutcome {
  try {
    return { busy: readBusyTimes(input) };
  } catch (error) {
    if (error instanceof CalendarRefused) return { line: error.line, message: error.message };
    throw error;
  }
}
