import { describe, expect, it } from 'vitest';
import { planTasks } from './planTasks.js';
import { checkPlan, type PlanFile } from './testing/checkPlan.js';
import { exhaustiveBest } from './testing/exhaustive.js';
import { randomFile } from './testing/randomFile.js';

const machine = [{ id: 'M', capacity: 1 }];

function jobs(list: readonly (readonly [duration: number, due: number, weight: number])[]): PlanFile {
  const tasks = list.map(([duration, due, weight], index) => ({
    id: `j${index}`,
    duration,
    due,
    weight,
    needs: { M: 1 },
  }));
  return { objective: 'weightedTardiness', resources: machine, tasks };
}

describe('planTasks', () => {
  it('runs two tasks one after the other on one machine', () => {
    const plan = planTasks({
      ...jobs([
        [3, 9, 1],
        [2, 2, 1],
      ]),
      objective: 'makespan',
    });
    expect(plan.objective).toBe(5);
    expect(plan.provenOptimal).toBe(true);
    expect(Math.max(...plan.tasks.map(({ start }) => start))).toBeGreaterThanOrEqual(2);
  });

  it('puts the job first whose lateness costs more (worked by hand)', () => {
    // j1 first: j0 ends at 5, 3 late. j0 first: j1 ends at 5, 3 late at weight 4.
    const plan = planTasks(
      jobs([
        [3, 2, 1],
        [2, 2, 4],
      ]),
    );
    expect(plan.objective).toBe(3);
    expect(plan.tasks[1]).toMatchObject({ start: 0, finish: 2, latestStart: 0, slack: 0 });
    expect(plan.tasks[0].bindingConstraint).toBe('M is busy with task "j1"; late by 3, due 2');
  });

  it('says what each task waits for', () => {
    const plan = planTasks({
      objective: 'makespan',
      resources: [
        {
          id: 'rig',
          capacity: 1,
          open: [
            [0, 4],
            [6, 20],
          ],
        },
      ],
      tasks: [
        { id: 'a', duration: 2, needs: { rig: 1 }, after: [] },
        { id: 'b', duration: 3, needs: { rig: 1 }, after: ['a'] },
        { id: 'c', duration: 1, needs: {}, after: [], earliest: 5 },
        { id: 'd', duration: 1, needs: { rig: 1 }, after: [], fixedStart: 10 },
        { id: 'e', duration: 1, needs: {}, after: ['b'] },
      ],
    });
    expect(plan.tasks.map(({ bindingConstraint }) => bindingConstraint)).toEqual([
      'starts at the beginning',
      'rig is closed until 6',
      'cannot start before 5',
      'pinned to 10',
      'waits for task "b"',
    ]);
  });

  it('equals exhaustive search on 2,000 random small cases, and proves it', { timeout: 120_000 }, () => {
    const results = Array.from({ length: 2000 }, (_, index) => {
      const file = randomFile(index + 1, index % 6 === 0 ? 5 : 4);
      const best = exhaustiveBest(file, 70);
      const plan = planTasks(file);
      const objective = plan.objective ?? Infinity;
      const wrong = plan.objective === null ? [] : checkPlan(file, plan);
      if (objective !== best) wrong.push(`${objective} instead of ${best}`);
      if (best === Infinity && plan.problems.length === 0) wrong.push('no problem named');
      return { seed: index + 1, wrong, possible: best < Infinity, proven: plan.provenOptimal };
    });
    expect(results.filter(({ wrong }) => wrong.length > 0)).toEqual([]);
    const possible = results.filter((result) => result.possible);
    expect(possible.length).toBeGreaterThan(1500);
    expect(possible.filter(({ proven }) => proven).length / possible.length).toBeGreaterThan(0.99);
  });

  it('never claims a bound above what another plan reaches', () => {
    const wrong = Array.from({ length: 60 }, (_, index) => {
      const file = randomFile(index + 50_000, 14);
      const hasty = planTasks({ ...file, budget: { schedules: 1 } });
      const thorough = planTasks({ ...file, budget: { schedules: 3000 } });
      const errors = thorough.objective === null ? [] : checkPlan(file, thorough);
      if ((hasty.objective ?? Infinity) < (thorough.objective ?? Infinity))
        errors.push('hasty plan is better');
      if ((hasty.lowerBound ?? 0) > (thorough.objective ?? Infinity)) errors.push('bound too high');
      return errors;
    }).flat();
    expect(wrong).toEqual([]);
  });

  it('gives the same plan for the same input and seed', () => {
    const file = randomFile(77, 14);
    expect(planTasks(file)).toEqual(planTasks(structuredClone(file)));
  });
});
