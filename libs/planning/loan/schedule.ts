import { Board, type Placement } from '../engine/board.js';
import { latestBefore } from '../engine/instance.js';
import { bookWanted, placeMissing } from '../engine/repair.js';
import { improveLateness } from './improve.js';
import type { LoanNetwork } from './network.js';
import type { HouseResources } from './resources.js';
import type { Booking, PlanLoansInput, PlanProblem } from './types.js';

export interface LoanSchedule {
  readonly board: Board;
  /** 1 for tasks the team pinned and that stand where they were pinned. */
  readonly pinned: Uint8Array;
  readonly homeless: readonly number[];
  readonly problems: readonly PlanProblem[];
}

/** Book every session of every loan with an arrival: pinned first, then what stands, then what is missing. */
export function scheduleLoans(
  input: PlanLoansInput,
  house: HouseResources,
  network: LoanNetwork,
): LoanSchedule {
  const board = new Board(network.instance);
  const pinned = new Uint8Array(network.tasks.length);
  const problems: PlanProblem[] = [];
  const wanted = wantedPlaces(input, house, network);
  bookPinned({ board, pinned, problems, house, network }, wanted.pinned);
  const held = new Uint8Array(pinned);
  bookUnderWay(board, wanted.underWay, held);
  bookWanted(board, wanted.kept);
  const urgency = urgencyOf(network, board, held);
  const waiting = holdBack(input, network);
  // Loans without an arrival are not booked: they would take room from those that are coming.
  const outside = network.tasks.flatMap((task, index) => (waiting[task.loan] ? [index] : []));
  const homeless = placeMissing(board, urgency, held, waitingTasks(network, waiting));
  improveLateness({ board, urgency, fixed: held, network, attempts: input.attempts ?? 200, outside });
  problems.push(...brokenPins(house, network, board, pinned));
  return { board, pinned, homeless, problems };
}

function holdBack(input: PlanLoansInput, network: LoanNetwork): Uint8Array {
  const waiting = new Uint8Array(network.tasksOfLoan.length);
  input.loans.forEach((loan, index) => {
    waiting[index] = !loan.arrived && loan.arrival === null ? 1 : 0;
  });
  return waiting;
}

function waitingTasks(network: LoanNetwork, waiting: Uint8Array): Uint8Array {
  return Uint8Array.from(network.tasks, ({ loan }) => waiting[loan]);
}

/** A session that has begun goes on, whatever the release of its step is now. */
function bookUnderWay(board: Board, wanted: Wanted['kept'], held: Uint8Array): void {
  for (const [task, { start, alternative }] of wanted) {
    if (board.isPlaced(task) || !board.fits(task, start, alternative)) continue;
    board.book(task, start, alternative);
    held[task] = 1;
  }
}

interface Wanted {
  /** With whether the session has begun. */
  readonly pinned: readonly (readonly [number, Placement, Booking, boolean])[];
  /** Begun before now and not over. */
  readonly underWay: readonly (readonly [number, Placement])[];
  readonly kept: readonly (readonly [number, Placement])[];
}

function wantedPlaces(input: PlanLoansInput, house: HouseResources, network: LoanNetwork): Wanted {
  const number = new Map(network.tasks.map(({ bookingId }, task) => [bookingId, task]));
  const pinned: [number, Placement, Booking, boolean][] = [];
  const underWay: [number, Placement][] = [];
  const kept: [number, Placement][] = [];
  const now = house.grid.atOrAfter(Date.parse(input.now));
  for (const booking of input.previous ?? []) {
    const task = number.get(booking.id);
    if (task === undefined) continue;
    const alternative = alternativeOf(house, network, task, booking.resourceIds);
    const start = house.grid.atOrAfter(Date.parse(booking.start));
    const place = { start, alternative: Math.max(alternative, 0) };
    const spansNow = start < now && start + network.tasks[task].duration > now;
    const begun = spansNow && mayHaveBegun(input, network, task, start, house);
    if (booking.pinned) pinned.push([task, place, booking, begun]);
    else if (alternative >= 0 && start >= 0) (begun ? underWay : kept).push([task, place]);
  }
  kept.sort((a, b) => a[1].start - b[1].start || a[0] - b[0]);
  return { pinned, underWay, kept };
}

/** Nothing that has to come before is still to do, and the crate is here. */
function mayHaveBegun(
  input: PlanLoansInput,
  network: LoanNetwork,
  task: number,
  start: number,
  house: HouseResources,
): boolean {
  const { loan, links } = network.tasks[task];
  const { arrived, arrival } = input.loans[loan];
  const here = arrived || (arrival !== null && house.grid.atOrAfter(Date.parse(arrival)) <= start);
  return here && links.length === 0;
}

/** The alternative that takes exactly these people and places, -1 if there is none. */
function alternativeOf(
  house: HouseResources,
  network: LoanNetwork,
  task: number,
  resourceIds: readonly string[],
): number {
  const wanted = [...resourceIds].sort().join('\n');
  return (network.tasks[task]?.alternatives ?? []).findIndex((demands) => {
    const ids = demands.flatMap(({ resource }) => house.bookedId(resource) ?? []);
    return ids.sort().join('\n') === wanted;
  });
}

interface PinContext {
  readonly board: Board;
  readonly pinned: Uint8Array;
  readonly problems: PlanProblem[];
  readonly house: HouseResources;
  readonly network: LoanNetwork;
}

function bookPinned(context: PinContext, wanted: Wanted['pinned']): void {
  const { board, pinned, problems, network } = context;
  for (const [task, { start, alternative }, booking, begun] of wanted) {
    const { step, earliest, earliestWhy } = network.tasks[task];
    const tooEarly = start < earliest && !begun;
    if (!tooEarly && board.fits(task, start, alternative)) {
      board.book(task, start, alternative);
      pinned[task] = 1;
      continue;
    }
    const why = tooEarly
      ? `it lies before the first possible time (${earliestWhy})`
      : 'a person or place it needs is closed, away or pinned elsewhere then';
    problems.push({
      code: 'pin-impossible',
      message: `"${step.label}" cannot stay pinned at ${booking.start}: ${why}. It was planned anew; pin it again or change what stands in its way.`,
      loanId: booking.loanId,
      bookingId: booking.id,
    });
  }
}

function brokenPins(
  house: HouseResources,
  network: LoanNetwork,
  board: Board,
  pinned: Uint8Array,
): PlanProblem[] {
  return network.tasks.flatMap(({ step, bookingId }, task) => {
    const start = board.start[task];
    if (!pinned[task] || start >= board.releasedAt(task)) return [];
    return [
      {
        code: 'pin-before-predecessor',
        message: `"${step.label}" is pinned at ${house.grid.iso(start)}, but what has to be done before it ends only ${house.grid.iso(board.releasedAt(task))}. Move the pin or shorten the work before it.`,
        loanId: bookingId.slice(0, bookingId.indexOf('/')),
        bookingId,
      },
    ];
  });
}

/**
 * Latest start of every session when its loan is alone in the house: backwards through the calendars from its due date,
 * or from what is booked for good after it.
 * Sessions that lead to no due date come last.
 */
function urgencyOf(network: LoanNetwork, board: Board, fixed: Uint8Array): Float64Array {
  const { instance } = network;
  const alone = new Board(instance);
  const latest = new Float64Array(instance.taskIds.length).fill(Infinity);
  for (let at = instance.topological.length - 1; at >= 0; at -= 1) {
    const task = instance.topological[at];
    let before = instance.due[task];
    for (const link of instance.successors[task] ?? []) {
      before = Math.min(before, latestBefore(instance, link, latest[link.task]));
    }
    if (fixed[task]) latest[task] = board.start[task];
    if (before === Infinity || fixed[task]) continue;
    const place = before > 0 ? alone.findLatest(task, before) : null;
    latest[task] = place ? place.start : before - instance.duration[task];
  }
  // Without a date, earlier released work goes first, after all work that has one.
  const most = latest.reduce((a, b) => (b < Infinity ? Math.max(a, b) : a), 0);
  return latest.map((time, task) => (time < Infinity ? time : most + 1 + instance.earliest[task]));
}
