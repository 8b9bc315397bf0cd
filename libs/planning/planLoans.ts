import { assessLoan, bookingOf, type AssessContext } from './loan/assess.js';
import { bookingChanges } from './loan/changes.js';
import { checkedInput } from './loan/checkInput.js';
import { ClockWords } from './loan/clockWords.js';
import { Explainer } from './loan/explain.js';
import { horizonGrid } from './loan/horizon.js';
import { latestStarts } from './loan/latestStarts.js';
import { loanNetwork } from './loan/network.js';
import { HouseResources } from './loan/resources.js';
import { scheduleLoans } from './loan/schedule.js';
import type { LoanPlans, PlanLoansInput, PlanProblem } from './loan/types.js';

export { defaultTemplates } from './loan/templates.js';
export type * from './loan/types.js';

/** How often the horizon is doubled before a step is said to have no room. */
const horizonTries = 4;

/**
 * Plan every loan backwards from its return date over the people, places and hours of the house.
 *
 * Instants go in as ISO 8601 (with Z or an offset) and come out as ISO 8601 UTC; wall-clock hours are those of an IANA
 * zone. Equal input gives an equal plan: nothing here reads a clock or rolls dice.
 *
 * - Every session of work becomes a booking within the hours of the people and the place it takes, never two at once.
 * - What `previous` holds stays where it is as long as it can; what is pinned stays altogether (or is named in
 *   `problems` when it no longer can). `changes` is the difference.
 * - `latestStart` of a step: how late it may begin for the unit to be back on time, counted so that all loans that are on
 *   time may use theirs together. For a late loan: since when it is late.
 * - Steps that are done or skipped need no booking; running ones go on from now.
 *
 * @throws RangeError when `now`, the zone of the house or `slotMinutes` cannot be read; everything else that is wrong is
 *   named in `problems`, and the rest is planned
 *
 * @example planLoans({ now: '2026-03-02T08:00:00Z', house: { zone: 'Europe/Vienna' }, people: [...], places: [
 *   { id: 'rig', name: 'the rig' }, { id: 'room', name: 'the listening room' }], loans: [...] })
 */
export function planLoans(given: PlanLoansInput): LoanPlans {
  const { input, problems } = checkedInput(given);
  for (let attempt = 0; ; attempt += 1) {
    const house = new HouseResources(horizonGrid(input, 2 ** attempt), input);
    const network = loanNetwork(input, house);
    const schedule = scheduleLoans(input, house, network);
    if (schedule.homeless.length > 0 && attempt + 1 < horizonTries) continue;
    const words = new ClockWords(house.grid, input.house.zone);
    const { board, pinned } = schedule;
    const context: AssessContext = {
      house,
      network,
      schedule,
      words,
      latest: latestStarts(board, network, pinned),
      explainer: new Explainer(input, house, network, board, pinned, words),
      atRiskWorkingDays: input.atRiskWorkingDays ?? 2,
      nowSlot: house.grid.atOrAfter(Date.parse(input.now)),
    };
    const bookings = network.tasks.flatMap((_, task) =>
      board.isPlaced(task) ? [bookingOf(context, task)] : [],
    );
    bookings.sort((a, b) => compare(a.start, b.start) || compare(a.id, b.id));
    return {
      loans: input.loans.map((loan, index) => assessLoan(context, loan, index)),
      bookings,
      changes: input.previous ? bookingChanges(input.previous, bookings) : [],
      problems: [
        ...problems,
        ...network.problems,
        ...schedule.problems,
        ...noRoom(schedule.homeless, context),
      ],
    };
  }
}

function noRoom(homeless: readonly number[], { network, house }: AssessContext): PlanProblem[] {
  return homeless.map((task) => {
    const { step, loan, bookingId } = network.tasks[task];
    return {
      code: 'no-room',
      message: `"${step.label}" finds no room within years: the people or places it needs are never free together. Widen the hours.`,
      loanId: house.loanId(loan),
      bookingId,
    };
  });
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
