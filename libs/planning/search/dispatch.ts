import { earliestAfter, type Instance } from '../engine/instance.js';
import { calendarsWithPins, type Windows } from '../engine/windows.js';

/**
 * A list in the order in which tasks would be started if, whenever something is free, the task with the most to lose
 * were started: weight per length, discounted by how much time the task still has (apparent tardiness cost, Vepsalainen
 * and Morton 1987). A task without a weight of its own counts those that wait for it.
 *
 * @param latestFinish per task, by due dates through the network
 * @param lookAhead how many mean durations ahead of its latest start a task begins to count
 */
export function dispatchedList(
  instance: Instance,
  windows: Windows,
  latestFinish: Float64Array,
  lookAhead: number,
): Int32Array {
  const { duration, fixedStart } = instance;
  const count = duration.length;
  const free = calendarsWithPins(instance);
  const weight = inheritedWeights(instance);
  const mean = duration.reduce((sum, time) => sum + time, 0) / Math.max(1, count);
  const scale = Math.max(1e-9, lookAhead * mean);
  const finish = new Float64Array(count).fill(-1);
  const list: number[] = [];
  const waiting = new Set<number>(instance.topological);
  const worth = (task: number, now: number): number => {
    const room = Math.max(0, latestFinish[task] - duration[task] - now);
    return (weight[task] / Math.max(1, duration[task])) * Math.exp(-room / scale);
  };
  while (waiting.size > 0) {
    let best = -1;
    let start = Infinity;
    let most = -Infinity;
    for (const task of waiting) {
      const at = fixedStart[task] >= 0 ? fixedStart[task] : firstStart(instance, windows, free, finish, task);
      if (at > start) continue;
      const value = worth(task, at);
      if (at === start && value <= most) continue;
      [best, start, most] = [task, at, value];
    }
    if (best < 0) break;
    list.push(best);
    waiting.delete(best);
    finish[best] = start + duration[best];
    if (fixedStart[best] >= 0) continue;
    for (const { resource, units } of instance.alternatives[best][0] ?? []) {
      free[resource].reserve(start, duration[best], units);
    }
  }
  return Int32Array.from([...list, ...waiting]);
}

/** Earliest start with what is booked so far; Infinity while a predecessor is missing. */
function firstStart(
  instance: Instance,
  windows: Windows,
  free: ReturnType<typeof calendarsWithPins>,
  finish: Float64Array,
  task: number,
): number {
  let start = windows.earliest[task];
  for (const link of instance.predecessors[task]) {
    if (finish[link.task] < 0) return Infinity;
    start = Math.max(start, earliestAfter(instance, link, finish[link.task]));
  }
  const demands = instance.alternatives[task][0] ?? [];
  for (let agreed = 0, i = 0; agreed < demands.length && start < Infinity; i = (i + 1) % demands.length) {
    const fit = free[demands[i].resource].earliestFit(start, instance.duration[task], demands[i].units);
    agreed = fit === start ? agreed + 1 : 1;
    start = fit;
  }
  return start;
}

/** The own weight, or that of the successors where there is none. */
function inheritedWeights({ weight, due, topological, successors }: Instance): Float64Array {
  const total = weight.map((value, task) => (due[task] === Infinity ? 0 : value));
  for (let at = topological.length - 1; at >= 0; at -= 1) {
    const task = topological[at];
    for (const link of successors[task]) total[task] += total[link.task];
  }
  return total;
}
