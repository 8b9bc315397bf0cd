import type { Link } from './instance.js';

/**
 * The tasks so that each comes after its predecessors, as near to their given order as that allows.
 * Where tasks wait for each other in a circle, those tasks and all that follow from them are left out.
 */
export function topologicalOrder(predecessors: readonly (readonly Pick<Link, 'task'>[])[]): Int32Array {
  const successors: number[][] = predecessors.map(() => []);
  const waiting = predecessors.map((links) => links.length);
  predecessors.forEach((links, task) => {
    for (const link of links) successors[link.task]?.push(task);
  });
  const order: number[] = waiting.flatMap((count, task) => (count === 0 ? [task] : []));
  for (let at = 0; at < order.length; at += 1) {
    for (const next of successors[order[at]] ?? []) {
      waiting[next] = waiting[next] - 1;
      if (waiting[next] === 0) order.push(next);
    }
  }
  return Int32Array.from(order);
}
