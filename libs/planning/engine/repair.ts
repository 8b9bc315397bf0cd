import type { Board, Placement } from './board.js';
import { PriorityQueue } from './priorityQueue.js';

/**
 * Put every task that is not on the board at its earliest place, the most urgent first, and let what is already booked
 * stay where it is unless a predecessor now ends too late for it; then it moves too.
 *
 * Few bookings change: a displaced task looks for room around the others and never pushes another chain aside. Only
 * what waits for it itself does not stand in its way.
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
  const position = new Int32Array(topological.length);
  topological.forEach((task, at) => (position[task] = at));
  for (const task of topological) displaceIfTooEarly(board, task, fixed);
  for (const task of topological) {
    if (!board.isPlaced(task) && !skip[task] && board.predecessorsPlaced(task)) queue.push(task);
  }
  const homeless: number[] = [];
  for (let task = queue.pop(); task !== undefined; task = queue.pop()) {
    if (board.isPlaced(task) || !board.predecessorsPlaced(task)) continue;
    if (!bookAheadOfFollowers(board, task, fixed, position)) {
      homeless.push(task);
      continue;
    }
    for (const link of board.instance.successors[task] ?? []) {
      displaceIfTooEarly(board, link.task, fixed);
      if (!board.isPlaced(link.task) && board.predecessorsPlaced(link.task)) queue.push(link.task);
    }
  }
  return homeless;
}

/**
 * Book a task at its earliest place as if nothing that waits for it were booked; that then goes back where it was, as
 * far as it still can, and is missing otherwise.
 */
function bookAheadOfFollowers(board: Board, task: number, fixed: Uint8Array, position: Int32Array): boolean {
  const followers = bookedFollowers(board, task, fixed).sort((a, b) => position[a] - position[b]);
  const were = followers.map((follower): Placement => {
    const was = { start: board.start[follower], alternative: board.alternative[follower] };
    board.unbook(follower);
    return was;
  });
  const place = board.findEarliest(task, board.releasedAt(task));
  if (place) board.book(task, place.start, place.alternative);
  followers.forEach((follower, at) => {
    const { start, alternative } = were[at];
    if (start < board.releasedAt(follower) || !isLeadersTeam(board, follower, alternative)) return;
    if (board.fits(follower, start, alternative)) board.book(follower, start, alternative);
  });
  return place !== null;
}

/** Everything booked that waits for a task, directly or by way of others, and may be moved. */
function bookedFollowers(board: Board, task: number, fixed: Uint8Array): number[] {
  const seen = new Set<number>();
  const open = [task];
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const { task: next } of board.instance.successors[at] ?? []) {
      if (seen.has(next)) continue;
      seen.add(next);
      open.push(next);
    }
  }
  return [...seen].filter((next) => board.isPlaced(next) && !fixed[next]);
}

function isLeadersTeam(board: Board, task: number, alternative: number): boolean {
  const leader = board.instance.follows[task];
  return leader < 0 || !board.isPlaced(leader) || board.alternative[leader] === alternative;
}

function displaceIfTooEarly(board: Board, task: number, fixed: Uint8Array): void {
  if (fixed[task] || !board.isPlaced(task)) return;
  const sameTeam = isLeadersTeam(board, task, board.alternative[task]);
  if (!sameTeam || board.start[task] < board.releasedAt(task)) board.unbook(task);
}

/** Book the wanted places that are possible on the calendars, in the order given; the others stay off the board. */
export function bookWanted(board: Board, wanted: readonly (readonly [number, Placement])[]): void {
  for (const [task, place] of wanted) {
    if (place.start < board.instance.earliest[task]) continue;
    if (board.fits(task, place.start, place.alternative)) board.book(task, place.start, place.alternative);
  }
}
