import type { Board, Placement } from './board.js';
import { PriorityQueue } from './priorityQueue.js';

/**
 * Put every task that is not on the board at its earliest place, the most urgent first, and let what is already booked
 * stay where it is unless a predecessor now ends too late for it; then it moves too.
 *
 * Few bookings change: a displaced task looks for room around the others and never pushes another chain aside.
 *
 * @param urgency smaller goes first among tasks whose predecessors are placed
 * @param fixed tasks that must not be moved
 * @param skip tasks that are to stay off the board
 * @returns the tasks for which the calendars hold no room (they stay off the board, and so do their successors)
 */
export function placeMissing(
  board: Board,
  urgency: ArrayLike<number>,
  fixed: Uint8Array,
  skip: Uint8Array = new Uint8Array(urgency.length),
): number[] {
  const queue = new PriorityQueue(urgency);
  const { topological } = board.instance;
  for (const task of topological) displaceIfTooEarly(board, task, fixed);
  for (const task of topological) {
    if (!board.isPlaced(task) && !skip[task] && board.predecessorsPlaced(task)) queue.push(task);
  }
  const homeless: number[] = [];
  for (let task = queue.pop(); task !== undefined; task = queue.pop()) {
    if (board.isPlaced(task) || !board.predecessorsPlaced(task)) continue;
    const place = board.findEarliest(task, board.releasedAt(task));
    if (!place) {
      homeless.push(task);
      continue;
    }
    board.book(task, place.start, place.alternative);
    for (const link of board.instance.successors[task] ?? []) {
      displaceIfTooEarly(board, link.task, fixed);
      if (!board.isPlaced(link.task) && board.predecessorsPlaced(link.task)) queue.push(link.task);
    }
  }
  return homeless;
}

function displaceIfTooEarly(board: Board, task: number, fixed: Uint8Array): void {
  if (fixed[task] || !board.isPlaced(task)) return;
  const leader = board.instance.follows[task];
  const sameTeam =
    leader < 0 || !board.isPlaced(leader) || board.alternative[leader] === board.alternative[task];
  if (!sameTeam || board.start[task] < board.releasedAt(task)) board.unbook(task);
}

/** Book the wanted places that are possible on the calendars, in the order given; the others stay off the board. */
export function bookWanted(board: Board, wanted: readonly (readonly [number, Placement])[]): void {
  for (const [task, place] of wanted) {
    if (place.start < board.instance.earliest[task]) continue;
    if (board.fits(task, place.start, place.alternative)) board.book(task, place.start, place.alternative);
  }
}
