import type { Board, Placement } from '../engine/board.js';
import { bookWanted, placeMissing } from '../engine/repair.js';
import type { LoanNetwork } from './network.js';

interface ImproveInput {
  readonly board: Board;
  readonly urgency: Float64Array;
  readonly fixed: Uint8Array;
  readonly network: LoanNetwork;
  readonly attempts: number;
  /** Tasks that are deliberately not planned. */
  readonly outside: readonly number[];
}

/**
 * Where a loan would be late, let it go first: its bookings and those in its way are taken out and put back with the
 * late loan at the head. Kept only if the weighted lateness of all loans falls, so nobody is moved for nothing.
 */
export function improveLateness(input: ImproveInput): void {
  const { board, network } = input;
  const skip = new Uint8Array(network.tasks.length);
  for (const task of input.outside) skip[task] = 1;
  let cost = lateness(input);
  let left = input.attempts;
  let improved = true;
  while (improved && left > 0 && cost > 0) {
    improved = false;
    for (const loan of lateLoans(input)) {
      for (const reach of [1, 2, 3, 4]) {
        if (left <= 0) return;
        left -= 1;
        const before = snapshot(board);
        moveToFront(input, loan, reach, skip);
        const after = lateness(input);
        if (after < cost) {
          cost = after;
          improved = true;
          break;
        }
        restore(board, before);
      }
    }
  }
}

/** Weighted lateness of all tasks. */
function lateness(input: ImproveInput): number {
  let total = 0;
  for (let task = 0; task < input.network.tasks.length; task += 1) total += latenessOf(input, task);
  return total;
}

/** Slots over the due date, or by which a fixed task comes before what it has to wait for; times the weight. */
function latenessOf({ board, fixed }: ImproveInput, task: number): number {
  if (!board.isPlaced(task)) return 0;
  const { due, weight } = board.instance;
  const over = due[task] === Infinity ? 0 : weight[task] * Math.max(0, board.finish(task) - due[task]);
  return fixed[task] ? over + Math.max(0, board.releasedAt(task) - board.start[task]) : over;
}

function lateLoans(input: ImproveInput): number[] {
  return input.network.tasksOfLoan
    .map((tasks, loan) => ({ loan, cost: tasks.reduce((sum, task) => sum + latenessOf(input, task), 0) }))
    .filter(({ cost }) => cost > 0)
    .sort((a, b) => b.cost - a.cost || a.loan - b.loan)
    .map(({ loan }) => loan);
}

/**
 * Take the loan and the loans in its way off the board and put the loan back first. The others go back where they were
 * if that is still free, and elsewhere only if it is not.
 */
function moveToFront(input: ImproveInput, loan: number, reach: number, skip: Uint8Array): void {
  const { board, network, urgency, fixed } = input;
  const own = (network.tasksOfLoan[loan] ?? []).filter((task) => board.isPlaced(task) && !fixed[task]);
  const resources = new Set<number>();
  let end = 0;
  for (const task of own) {
    for (const { resource } of board.demands(task, board.alternative[task])) resources.add(resource);
    end = Math.max(end, board.finish(task));
  }
  const rivals = rivalsOf(input, loan, resources, end).slice(0, 4 ** (reach - 1));
  const moved = rivals
    .flatMap((rival) => network.tasksOfLoan[rival] ?? [])
    .filter((task) => board.isPlaced(task) && !fixed[task]);
  const places = moved
    .map((task): [number, Placement] => [
      task,
      { start: board.start[task], alternative: board.alternative[task] },
    ])
    .sort((a, b) => a[1].start - b[1].start || a[0] - b[0]);
  for (const task of [...own, ...moved]) board.unbook(task);
  const later = skip.slice();
  for (const task of moved) later[task] = 1;
  placeMissing(board, urgency, fixed, later);
  bookWanted(board, places);
  placeMissing(board, urgency, fixed, skip);
}

/** Loans that use the same resources before a time and have the most room themselves, the roomiest first. */
function rivalsOf(input: ImproveInput, loan: number, resources: ReadonlySet<number>, end: number): number[] {
  const { board, network } = input;
  const rivals = network.tasksOfLoan.flatMap((tasks, rival) => {
    if (rival === loan) return [];
    const inTheWay = tasks.some(
      (task) =>
        board.isPlaced(task) &&
        board.start[task] < end &&
        board.demands(task, board.alternative[task]).some(({ resource }) => resources.has(resource)),
    );
    return inTheWay ? [{ rival, room: roomOf(board, tasks) }] : [];
  });
  return rivals.sort((a, b) => b.room - a.room || a.rival - b.rival).map(({ rival }) => rival);
}

function roomOf(board: Board, tasks: readonly number[]): number {
  let room = Infinity;
  for (const task of tasks) {
    if (board.isPlaced(task)) room = Math.min(room, board.instance.due[task] - board.finish(task));
  }
  return room;
}

interface Snapshot {
  readonly start: Float64Array;
  readonly alternative: Int32Array;
}

function snapshot(board: Board): Snapshot {
  return { start: board.start.slice(), alternative: board.alternative.slice() };
}

function restore(board: Board, { start, alternative }: Snapshot): void {
  const changed: number[] = [];
  for (let task = 0; task < start.length; task += 1) {
    if (board.start[task] !== start[task] || board.alternative[task] !== alternative[task])
      changed.push(task);
  }
  for (const task of changed) if (board.isPlaced(task)) board.unbook(task);
  for (const task of changed) {
    if (start[task] >= 0) board.book(task, start[task], alternative[task]);
  }
}
