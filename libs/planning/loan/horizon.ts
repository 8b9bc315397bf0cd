import { floorToSlot, SlotGrid } from '../calendar/slotGrid.js';
import type { PlanLoansInput } from './types.js';

const dayMs = 86_400_000;
/** So far back a "should have started by" can still be told. */
const daysBack = 60;
const daysBeyond = 90;
/** Nothing is planned further ahead than this. */
export const horizonDaysMost = 6 * 366;

/**
 * The stretch of time a plan is made in: from some weeks before now to well after the last date the loans name, and
 * long enough for the work there is. `stretch` lengthens it when that turned out too short.
 */
export function horizonGrid(input: PlanLoansInput, stretch = 1): SlotGrid {
  const slotMinutes = input.slotMinutes ?? 15;
  const nowMs = Date.parse(input.now);
  const named = input.loans.flatMap((loan) => [loan.arrival, loan.returnBy, loan.embargo, loan.publishBy]);
  const last = Math.max(nowMs, ...named.map((date) => (date ? Date.parse(date) : nowMs)));
  const weeksOfWork = (3 * input.loans.length) / Math.max(1, input.people.length) / 2;
  const days = (last - nowMs) / dayMs + daysBeyond + 7 * weeksOfWork;
  const originMs = floorToSlot(nowMs - daysBack * dayMs, slotMinutes);
  const ahead = Math.min(days * stretch, horizonDaysMost);
  return new SlotGrid(
    originMs,
    slotMinutes,
    Math.ceil(((daysBack + ahead) * dayMs) / (slotMinutes * 60_000)),
  );
}
