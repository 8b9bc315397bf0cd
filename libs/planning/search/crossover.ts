import type { Instance } from '../engine/instance.js';
import type { Random } from '../engine/random.js';

/** What a stretch of a list is worth inheriting: how much work per unit of time it holds. */
export interface Density {
  /** Work of a task: duration times the share of each resource it takes. */
  readonly work: Float64Array;
}

export function densityOf(instance: Instance): Density {
  const { duration, alternatives, calendars } = instance;
  const work = duration.map((time, task) => {
    let share = 0;
    for (const { resource, units } of alternatives[task][0] ?? []) {
      share += units / Math.max(1, calendars[resource].most);
    }
    return time * share;
  });
  return { work };
}

/** Shares of the list a child takes from one parent in one piece. */
const leastShare = 0.1;
const mostShare = 0.5;

/**
 * A child that takes one stretch of the giver's list as it stands and everything else in the keeper's order.
 *
 * Of two random stretches the denser one is taken, because where the resources are well used the order is worth
 * keeping. Tasks that must come before the stretch go before it, those that must come after go after it, the others by
 * where the keeper has them. Both lists must suit the instance (its predecessors first); then so does the child.
 */
export function crossed(
  instance: Instance,
  density: Density,
  giver: { readonly list: Int32Array; readonly start: Float64Array },
  keeper: Int32Array,
  random: Random,
): Int32Array {
  const count = keeper.length;
  const share = leastShare + (mostShare - leastShare) * random.next();
  const length = Math.max(1, Math.floor(count * share));
  const from = denserStretch(instance, density, giver, length, random);
  const stretch = giver.list.subarray(from, from + length);
  const side = sidesOf(instance, stretch);
  const position = new Int32Array(count);
  for (let at = 0; at < count; at += 1) position[keeper[at]] = at;
  let pivot = 0;
  for (const task of stretch) pivot += position[task] / length;
  const child = new Int32Array(count);
  let filled = 0;
  for (const task of keeper) {
    if (side[task] === before || (side[task] === free && position[task] < pivot)) child[filled++] = task;
  }
  for (const task of stretch) child[filled++] = task;
  for (const task of keeper) {
    if (side[task] === after || (side[task] === free && position[task] >= pivot)) child[filled++] = task;
  }
  return child;
}

function denserStretch(
  instance: Instance,
  density: Density,
  giver: { readonly list: Int32Array; readonly start: Float64Array },
  length: number,
  random: Random,
): number {
  const positions = giver.list.length - length + 1;
  const first = random.below(positions);
  const second = random.below(positions);
  const worth = (from: number): number => {
    let work = 0;
    let begin = Infinity;
    let end = 0;
    for (let at = from; at < from + length; at += 1) {
      const task = giver.list[at];
      work += density.work[task];
      begin = Math.min(begin, giver.start[task]);
      end = Math.max(end, giver.start[task] + instance.duration[task]);
    }
    return work / (end - begin + 1);
  };
  return worth(second) > worth(first) ? second : first;
}

const free = 0;
const before = 1;
const after = 2;
const inside = 3;

/** Where each task must stand as against the stretch. */
function sidesOf(instance: Instance, stretch: Int32Array): Uint8Array {
  const side = new Uint8Array(instance.taskIds.length);
  for (const task of stretch) side[task] = inside;
  mark(instance.predecessors, stretch, side, before);
  mark(instance.successors, stretch, side, after);
  return side;
}

function mark(links: Instance['predecessors'], stretch: Int32Array, side: Uint8Array, value: number): void {
  const pending = Array.from(stretch);
  for (let task = pending.pop(); task !== undefined; task = pending.pop()) {
    for (const link of links[task]) {
      if (side[link.task] !== free) continue;
      side[link.task] = value;
      pending.push(link.task);
    }
  }
}

/** Swap neighbours that may be swapped, each pair with the given chance. */
export function mutate(instance: Instance, list: Int32Array, chance: number, random: Random): void {
  for (let at = 0; at + 1 < list.length; at += 1) {
    if (random.next() >= chance) continue;
    const [task, next] = [list[at], list[at + 1]];
    if (instance.predecessors[next].some((link) => link.task === task)) continue;
    list[at] = next;
    list[at + 1] = task;
  }
}
