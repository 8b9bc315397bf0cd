import type { Instance } from '../engine/instance.js';
import { latestBefore } from '../engine/instance.js';
import { PriorityQueue } from '../engine/priorityQueue.js';
import type { Windows } from '../engine/windows.js';
import type { Random } from '../engine/random.js';
import type { Objective } from './decoder.js';

/** A list with every task after its predecessors, the smallest key first among those that may come. */
export function listByKey(instance: Instance, key: ArrayLike<number>): Int32Array {
  const waiting = instance.predecessors.map((links) => links.length);
  const ready = new PriorityQueue(key);
  waiting.forEach((count, task) => {
    if (count === 0) ready.push(task);
  });
  const list = new Int32Array(waiting.length);
  let length = 0;
  for (let task = ready.pop(); task !== undefined; task = ready.pop()) {
    list[length] = task;
    length += 1;
    for (const link of instance.successors[task]) {
      waiting[link.task] -= 1;
      if (waiting[link.task] === 0) ready.push(link.task);
    }
  }
  return list;
}

/**
 * A random list that leans towards small keys: among the tasks that may come, each is drawn with a chance that grows
 * with how much would be regretted by not taking it (regret-based biased random sampling, Drexl 1991).
 * @param bias 0: all alike; large: nearly `listByKey`
 * @param grain what the worst task still counts, in units of the key
 */
export function sampledList(
  instance: Instance,
  key: ArrayLike<number>,
  { bias, grain }: { bias: number; grain: number },
  random: Random,
): Int32Array {
  const waiting = instance.predecessors.map((links) => links.length);
  const ready: number[] = [];
  waiting.forEach((count, task) => {
    if (count === 0) ready.push(task);
  });
  const list = new Int32Array(waiting.length);
  for (let length = 0; ready.length > 0; length += 1) {
    const task = drawn(ready, (task, worst) => ((worst - key[task]) / grain + 1) ** bias, key, random);
    list[length] = task;
    for (const link of instance.successors[task]) {
      waiting[link.task] -= 1;
      if (waiting[link.task] === 0) ready.push(link.task);
    }
  }
  return list;
}

/** Draw a task and take it out of `ready`. */
function drawn(
  ready: number[],
  chance: (task: number, worst: number) => number,
  key: ArrayLike<number>,
  random: Random,
): number {
  let worst = -Infinity;
  for (const task of ready) worst = Math.max(worst, key[task]);
  let total = 0;
  for (const task of ready) total += chance(task, worst);
  let at = 0;
  for (let point = random.next() * total; at < ready.length - 1; at += 1) {
    point -= chance(ready[at], worst);
    if (point <= 0) break;
  }
  const task = ready[at];
  ready[at] = ready[ready.length - 1];
  ready.pop();
  return task;
}

/** Latest finish by the network alone, counted back from a time by which all is to be over, or from due dates. */
export function latestFinishKeys(
  instance: Instance,
  windows: Windows,
  objective: Objective,
  end: number,
): Float64Array {
  const { duration, due, topological, weight } = instance;
  const latest = windows.latestFinish.map((time) => Math.min(time, end));
  for (let at = topological.length - 1; at >= 0; at -= 1) {
    const task = topological[at];
    if (objective === 'weightedTardiness' && weight[task] > 0)
      latest[task] = Math.min(latest[task], due[task]);
    for (const link of instance.successors[task]) {
      latest[task] = Math.min(
        latest[task],
        latestBefore(instance, link, latest[link.task] - duration[link.task]),
      );
    }
  }
  return latest;
}
