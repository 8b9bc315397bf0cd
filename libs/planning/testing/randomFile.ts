import { Random } from '../engine/random.js';
import type { FileTask, PlanFile } from './checkPlan.js';

/** A small random planning file with releases, calendars, pins and zero durations; some have no plan. */
export function randomFile(seed: number, tasksMost: number): PlanFile {
  const random = new Random(seed);
  const between = (from: number, to: number): number => from + random.below(to - from + 1);
  const chance = (share: number): boolean => random.next() < share;
  const resources = Array.from({ length: between(1, 2) }, (_, index) => {
    const resource = { id: `R${index}`, capacity: between(1, 3) };
    return chance(0.5) ? { ...resource, open: openHours(between) } : resource;
  });
  const tasks = Array.from({ length: between(1, tasksMost) }, (_, index): FileTask => {
    const needs = resources.flatMap(({ id, capacity }) =>
      chance(0.7) ? [[id, between(1, capacity)] as const] : [],
    );
    const after = Array.from({ length: index }, (_, before) => `t${before}`).filter(() => chance(0.25));
    return {
      id: `t${index}`,
      duration: chance(0.08) ? 0 : between(1, 5),
      needs: Object.fromEntries(needs),
      after,
      ...(chance(0.4) ? { earliest: between(0, 8) } : {}),
      ...(chance(0.8) ? { due: between(0, 15), weight: between(0, 5) } : {}),
      ...(chance(0.12) ? { fixedStart: between(0, 14) } : {}),
    };
  });
  const objective = chance(0.5) ? 'makespan' : 'weightedTardiness';
  return { objective, seed, budget: { schedules: 2000 }, resources, tasks };
}

function openHours(between: (from: number, to: number) => number): [number, number][] {
  const open: [number, number][] = [];
  let from = between(0, 2);
  for (let stretch = 0; stretch < 4; stretch += 1) {
    const to = from + between(2, 6);
    open.push([from, to]);
    from = to + between(1, 3);
  }
  return [...open, [from, from + 40]];
}
