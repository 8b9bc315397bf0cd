import type { Instance } from '../engine/instance.js';
import type { Random } from '../engine/random.js';
import type { Decoder, Individual } from './decoder.js';

/** Moves looked at to learn how large a step is; at most this many. */
const probes = 30;
/** The search begins at the loss that a tenth of the worsening moves stay under, and ends at a fiftieth of that. */
const startQuantile = 0.1;
const coolTo = 0.02;

/**
 * Simulated annealing on task lists: one task moves to another place between its predecessors and successors, and the
 * new list is decoded. For weighted tardiness, where a single task in a better place counts more than long stretches
 * taken over from a parent. Starts from the decoder's best schedule.
 */
export function annealedSearch(decoder: Decoder, bound: () => number, random: Random): void {
  if (decoder.best && decoder.instance.taskIds.length > 1) anneal(decoder, bound, random, decoder.best);
}

function anneal(decoder: Decoder, bound: () => number, random: Random, from: Individual): void {
  const { effort, instance } = decoder;
  const steps = Math.floor(effort.left);
  const losses: number[] = [];
  let list = decoder.order(from);
  let value = from.value;
  let hot = 0;
  for (let step = 0; step < steps && !decoder.isDone(bound()); step += 1) {
    const moved = movedList(instance, list, random);
    if (!moved) return;
    const made = decoder.forward(moved);
    const loss = made.violation > 0 ? Infinity : made.value - value;
    if (step < Math.min(probes, steps / 10)) {
      if (loss > 0 && loss < Infinity) losses.push(loss);
      hot = quantile(losses, startQuantile);
    }
    const temperature = hot * coolTo ** (step / steps);
    if (loss > 0 && !(random.next() < Math.exp(-loss / Math.max(temperature, 1e-9)))) continue;
    list = moved;
    value = made.value;
  }
}

function quantile(values: readonly number[], share: number): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length * share)] ?? 1;
}

/** The list with one task elsewhere; null when hardly any task can move. */
function movedList(instance: Instance, list: Int32Array, random: Random): Int32Array | null {
  const position = new Int32Array(list.length);
  for (let at = 0; at < list.length; at += 1) position[list[at]] = at;
  for (let attempt = 0; attempt < 200; attempt += 1) {
    const from = random.below(list.length);
    const task = list[from];
    let low = 0;
    let high = list.length - 1;
    for (const link of instance.predecessors[task]) low = Math.max(low, position[link.task] + 1);
    for (const link of instance.successors[task]) high = Math.min(high, position[link.task] - 1);
    if (high <= low) continue;
    const drawn = low + random.below(high - low);
    const to = drawn >= from ? drawn + 1 : drawn;
    const moved = list.slice();
    if (to > from) moved.copyWithin(from, from + 1, to + 1);
    else moved.copyWithin(to + 1, to, from);
    moved[to] = task;
    return moved;
  }
  return null;
}
