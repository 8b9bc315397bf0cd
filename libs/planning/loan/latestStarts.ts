import type { Board } from '../engine/board.js';
import { latestBefore } from '../engine/instance.js';
import type { LoanNetwork } from './network.js';

/**
 * Latest start of every session with which its loan is back on time, if nobody else's booking moves.
 *
 * Each loan is taken off the board, put back from its due date backwards around the others (with the people it was
 * planned with), and then restored. Pinned sessions stay where they are. Infinity: no date depends on the session.
 * -Infinity: there is no room as far back as the calendar goes.
 */
export function latestStarts(board: Board, network: LoanNetwork, pinned: Uint8Array): Float64Array {
  const latest = new Float64Array(network.tasks.length).fill(Infinity);
  for (const tasks of network.tasksOfLoan) latestOfLoan(board, tasks, pinned, latest);
  return latest;
}

function latestOfLoan(
  board: Board,
  tasks: readonly number[],
  pinned: Uint8Array,
  latest: Float64Array,
): void {
  const { instance } = board;
  const movable = beforeDates(board, tasks, pinned).filter((task) => !pinned[task]);
  const planned = movable.map((task) => [board.start[task], board.alternative[task]] as [number, number]);
  for (const task of movable) if (board.isPlaced(task)) board.unbook(task);
  const chosen = new Map<number, number>();
  for (let at = movable.length - 1; at >= 0; at -= 1) {
    const task = movable[at];
    let before = instance.due[task];
    for (const link of instance.successors[task] ?? []) {
      const start = pinned[link.task] ? board.start[link.task] : latest[link.task];
      before = Math.min(before, latestBefore(instance, link, start));
    }
    const [start, alternative] = planned[at];
    const team = instance.follows[task] >= 0 ? instance.follows[task] : task;
    const only = start >= 0 ? alternative : chosen.get(team);
    const place = before > 0 ? board.findLatest(task, before, only) : null;
    latest[task] = place ? place.start : -Infinity;
    if (!place) continue;
    chosen.set(team, place.alternative);
    board.book(task, place.start, place.alternative);
  }
  for (const task of movable) if (board.isPlaced(task)) board.unbook(task);
  movable.forEach((task, index) => {
    const [start, alternative] = planned[index];
    if (start >= 0) board.book(task, start, alternative);
  });
  for (const task of tasks) if (pinned[task]) latest[task] = board.start[task];
}

/** The tasks, in order, that a due date or a pinned booking comes after. */
function beforeDates(board: Board, tasks: readonly number[], pinned: Uint8Array): number[] {
  const { instance } = board;
  const bound = new Set<number>();
  for (let at = tasks.length - 1; at >= 0; at -= 1) {
    const task = tasks[at];
    const followed = (instance.successors[task] ?? []).some(({ task: next }) => bound.has(next));
    if (pinned[task] || instance.due[task] < Infinity || followed) bound.add(task);
  }
  return tasks.filter((task) => bound.has(task));
}
