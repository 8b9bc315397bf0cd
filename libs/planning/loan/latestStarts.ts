import type { Board } from '../engine/board.js';
import { latestBefore } from '../engine/instance.js';
import type { LoanNetwork } from './network.js';

/**
 * Latest start of every session with which its loan is back on time. Infinity: no date depends on the session.
 * -Infinity: there is no room as far back as the calendar goes.
 *
 * Loans that are on time are pushed to the right together, the last session first: if everything is done at its latest
 * start, all of them are still on time, so nobody's slack is spent twice. A loan that is late already, or has no
 * arrival yet, is put back from its due date around what the others have booked: its latest starts tell since when it
 * is late, or by when it must come. Sessions keep their people; pinned sessions stay.
 */
export function latestStarts(board: Board, network: LoanNetwork, pinned: Uint8Array): Float64Array {
  const latest = new Float64Array(network.tasks.length).fill(Infinity);
  const onTime: number[] = [];
  for (const tasks of network.tasksOfLoan) {
    const dated = beforeDates(board, tasks);
    for (const task of dated) if (pinned[task]) latest[task] = board.start[task];
    const bound = dated.filter((task) => !pinned[task]);
    if (bound.length > 0 && isOnTime(board, tasks)) onTime.push(...bound);
    else latestOfOne(board, bound, latest);
  }
  pushTogether(board, onTime, pinned, latest);
  for (let task = 0; task < latest.length; task += 1) if (pinned[task]) latest[task] = board.start[task];
  return latest;
}

function isOnTime(board: Board, tasks: readonly number[]): boolean {
  return tasks.every((task) => board.isPlaced(task) && board.finish(task) <= board.instance.due[task]);
}

/** The tasks, in order, that a due date comes after: what only leads to a pinned booking puts no return at risk. */
function beforeDates(board: Board, tasks: readonly number[]): number[] {
  const { instance } = board;
  const bound = new Set<number>();
  for (let at = tasks.length - 1; at >= 0; at -= 1) {
    const task = tasks[at];
    const followed = (instance.successors[task] ?? []).some(({ task: next }) => bound.has(next));
    if (instance.due[task] < Infinity || followed) bound.add(task);
  }
  return tasks.filter((task) => bound.has(task));
}

/** Latest finish that the due date and the sessions after leave. */
function finishBy(board: Board, task: number, latest: Float64Array): number {
  const { instance } = board;
  let before = instance.due[task];
  for (const link of instance.successors[task] ?? []) {
    before = Math.min(before, latestBefore(instance, link, latest[link.task]));
  }
  return before;
}

type Planned = readonly [task: number, start: number, alternative: number];

function takenOff(board: Board, tasks: readonly number[]): Planned[] {
  const planned = tasks.map((task): Planned => [task, board.start[task], board.alternative[task]]);
  for (const task of tasks) if (board.isPlaced(task)) board.unbook(task);
  return planned;
}

function putBack(board: Board, planned: readonly Planned[]): void {
  for (const [task] of planned) if (board.isPlaced(task)) board.unbook(task);
  for (const [task, start, alternative] of planned) if (start >= 0) board.book(task, start, alternative);
}

function pushTogether(
  board: Board,
  tasks: readonly number[],
  pinned: Uint8Array,
  latest: Float64Array,
): void {
  const { duration, topological } = board.instance;
  const rank = new Float64Array(duration.length);
  topological.forEach((task, position) => {
    rank[task] = position;
  });
  // What has no date gives way: it may move behind everything that has one.
  const loose = board.instance.taskIds.flatMap((_, task) =>
    leadsNowhere(board, task, pinned, latest) ? [task] : [],
  );
  const dated = new Set(tasks);
  const planned = takenOff(board, [...tasks, ...loose.filter((task) => !dated.has(task))]);
  const finish = new Map(planned.map(([task, start]) => [task, start + duration[task]]));
  const byFinish = tasks.toSorted((a, b) => (finish.get(b) ?? 0) - (finish.get(a) ?? 0) || rank[b] - rank[a]);
  const alternative = new Map(planned.map(([task, , choice]) => [task, choice]));
  for (const task of byFinish) {
    const place = board.findLatest(task, finishBy(board, task, latest), alternative.get(task));
    latest[task] = place ? place.start : -Infinity;
    if (place) board.book(task, place.start, place.alternative);
  }
  putBack(board, planned);
}

/** Placed, not pinned, and no date behind it. */
function leadsNowhere(board: Board, task: number, pinned: Uint8Array, latest: Float64Array): boolean {
  if (!board.isPlaced(task) || pinned[task] || board.instance.due[task] < Infinity) return false;
  if (latest[task] < Infinity) return false;
  return (board.instance.successors[task] ?? []).every((link) =>
    leadsNowhere(board, link.task, pinned, latest),
  );
}

function latestOfOne(board: Board, bound: readonly number[], latest: Float64Array): void {
  const planned = takenOff(board, bound);
  const team = new Map<number, number>();
  for (const [task, start, alternative] of planned.toReversed()) {
    const leader = board.instance.follows[task] >= 0 ? board.instance.follows[task] : task;
    const only = start >= 0 ? alternative : team.get(leader);
    const before = finishBy(board, task, latest);
    const place = before > 0 ? board.findLatest(task, before, only) : null;
    latest[task] = place ? place.start : -Infinity;
    if (!place) continue;
    team.set(leader, place.alternative);
    board.book(task, place.start, place.alternative);
  }
  putBack(board, planned);
}
