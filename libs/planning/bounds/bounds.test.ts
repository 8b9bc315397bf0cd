import { describe, expect, it } from 'vitest';
import { instanceOf } from '../door/instance.js';
import { readPlanInput } from '../door/planInput.js';
import type { Instance } from '../engine/instance.js';
import { windowsOf } from '../engine/windows.js';
import type { PlanFile } from '../testing/checkPlan.js';
import { exhaustiveBest } from '../testing/exhaustive.js';
import { randomFile } from '../testing/randomFile.js';
import { criticalPathBound, windowTardinessBound } from './criticalPath.js';
import { destructiveBound } from './destructive.js';
import { energyBound } from './energy.js';

function instanceFrom(file: PlanFile): Instance {
  const { input, problems } = readPlanInput(file);
  if (!input) throw new Error(problems[0].message);
  return instanceOf(input).instance;
}

function project(capacity: number, tasks: readonly (readonly [duration: number, units: number])[]): PlanFile {
  return {
    objective: 'makespan',
    resources: [{ id: 'r', capacity }],
    tasks: tasks.map(([duration, units], index) => ({
      id: `t${index}`,
      duration,
      needs: { r: units },
      after: [],
    })),
  };
}

describe('lower bounds', () => {
  it('count the work there is (worked by hand)', () => {
    // 3 x 2 + 3 x 2 + 4 x 1 = 16 on 2 units: not before 8.
    const instance = instanceFrom(
      project(2, [
        [3, 2],
        [3, 2],
        [4, 1],
      ]),
    );
    expect(energyBound(instance, windowsOf(instance))).toBe(8);
    expect(criticalPathBound(instance, windowsOf(instance))).toBe(4);
  });

  it('refute an end before tasks that cannot run at once are through (worked by hand)', () => {
    // Each takes 2 of 3: one after the other, 4 + 4 + 4. The work alone would fit into 8.
    const instance = instanceFrom(
      project(3, [
        [4, 2],
        [4, 2],
        [4, 2],
      ]),
    );
    const windows = windowsOf(instance);
    expect(energyBound(instance, windows)).toBe(8);
    expect(destructiveBound(instance, windows, 8, 99)).toBe(12);
    // 3 and 2 of 4 cannot meet either, though only one takes more than half.
    const pair = instanceFrom(
      project(4, [
        [5, 3],
        [6, 2],
      ]),
    );
    expect(destructiveBound(pair, windowsOf(pair), 7, 99)).toBe(11);
  });

  it('never lie above the least that exhaustive search finds', { timeout: 60_000 }, () => {
    let raised = 0;
    const wrong = Array.from({ length: 2500 }, (_, seed) => {
      const file: PlanFile = { ...randomFile(seed + 200_000, 5), objective: 'makespan' };
      const best = exhaustiveBest(file, 50);
      if (best === Infinity) return [];
      const instance = instanceFrom(file);
      const windows = windowsOf(instance);
      const simple = Math.max(criticalPathBound(instance, windows), energyBound(instance, windows));
      // From zero, so that every end is tested and not only those near the best.
      const tested = destructiveBound(instance, windows, 0, 99);
      if (destructiveBound(instance, windows, simple, 99) > simple) raised += 1;
      return simple > best || tested > best ? [{ seed, simple, tested, best }] : [];
    }).flat();
    expect(wrong).toEqual([]);
    expect(raised).toBeGreaterThan(50);
  });

  it('never lie above the least lateness either', () => {
    const wrong = Array.from({ length: 600 }, (_, seed) => {
      const file: PlanFile = { ...randomFile(seed + 300_000, 4), objective: 'weightedTardiness' };
      const instance = instanceFrom(file);
      return windowTardinessBound(instance, windowsOf(instance)) > exhaustiveBest(file, 60) ? [seed] : [];
    }).flat();
    expect(wrong).toEqual([]);
  });
});
