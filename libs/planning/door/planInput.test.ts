import { describe, expect, it } from 'vitest';
import { planTasks } from '../planTasks.js';

const task = { id: 'a', duration: 2, needs: { r: 1 }, after: [] };
const file = { objective: 'makespan', resources: [{ id: 'r', capacity: 1 }], tasks: [task] };

function codes(changes: Record<string, unknown>): string[] {
  return planTasks({ ...file, ...changes }).problems.map(({ code }) => code);
}

describe('a planning file', () => {
  it('is accepted when it is right', () => {
    expect(codes({})).toEqual([]);
  });

  it.each([
    ['no object', null, 'malformed'],
    ['a list', [], 'malformed'],
    ['nothing in it', {}, 'malformed'],
  ])('with %s is refused', (_, value, code) => {
    expect(planTasks(value).problems.map((problem) => problem.code)).toContain(code);
  });

  it.each([
    ['an unknown objective', { objective: 'cost' }, ['malformed']],
    ['a budget of nothing', { budget: { schedules: 0 } }, ['malformed']],
    ['a task twice', { tasks: [task, task] }, ['duplicate-id']],
    ['a resource twice', { resources: [...file.resources, { id: 'r', capacity: 2 }] }, ['duplicate-id']],
    ['an unknown predecessor', { tasks: [{ ...task, after: ['z'] }] }, ['unknown-id']],
    ['an unknown resource', { tasks: [{ ...task, needs: { z: 1 } }] }, ['unknown-id']],
    ['a need over capacity', { tasks: [{ ...task, needs: { r: 2 } }] }, ['over-capacity']],
    ['a negative duration', { tasks: [{ ...task, duration: -1 }] }, ['negative-duration']],
    ['half a duration', { tasks: [{ ...task, duration: 1.5 }] }, ['malformed']],
    ['a duration in words', { tasks: [{ ...task, duration: '2' }] }, ['malformed']],
    ['a task that waits for itself', { tasks: [{ ...task, after: ['a'] }] }, ['cycle']],
    ['a weight below nothing', { tasks: [{ ...task, weight: -1 }] }, ['malformed']],
    [
      'a pin before the release',
      { tasks: [{ ...task, earliest: 3, fixedStart: 1 }] },
      ['pin-before-release'],
    ],
    [
      'times beyond exact numbers',
      {
        tasks: [
          { ...task, duration: 2 ** 53 - 1 },
          { ...task, id: 'b' },
        ],
      },
      ['malformed'],
    ],
    [
      'no stretch long enough',
      {
        resources: [
          {
            id: 'r',
            capacity: 1,
            open: [
              [0, 1],
              [3, 4],
            ],
          },
        ],
      },
      ['no-room'],
    ],
  ])('with %s is refused', (_, changes, expected) => {
    expect(codes(changes)).toEqual(expected);
  });

  it('names every problem, not only the first', () => {
    const tasks = [
      { ...task, after: ['z'] },
      { ...task, id: 'b', duration: -3 },
      { ...task, id: 'c', needs: { r: 9 } },
    ];
    expect(new Set(codes({ tasks }))).toEqual(new Set(['negative-duration', 'over-capacity', 'unknown-id']));
    expect(planTasks({ ...file, tasks })).toMatchObject({ objective: null, tasks: [] });
  });

  it('tells the circle', () => {
    const tasks = ['a', 'b', 'c'].map((id, index, all) => ({ ...task, id, after: [all[(index + 1) % 3]] }));
    expect(planTasks({ ...file, tasks }).problems[0].message).toMatch(
      /"a" before "c" before "b" before "a"|"b" before "a" before "c"|"c" before "b" before "a"/,
    );
  });

  it('names pins that cannot all hold', () => {
    const tasks = [
      { ...task, fixedStart: 0 },
      { ...task, id: 'b', fixedStart: 1 },
    ];
    expect(codes({ tasks })).toEqual(['pin-conflict']);
    const late = [task, { ...task, id: 'b', after: ['a'], fixedStart: 1 }];
    expect(codes({ tasks: late })).toContain('pin-before-predecessor');
  });

  it('shows that no order fits before a pin', () => {
    const tasks = [task, { ...task, id: 'b' }, { ...task, id: 'c', after: ['a', 'b'], fixedStart: 3 }];
    expect(codes({ tasks })).toEqual(['impossible']);
  });

  it('takes an empty list of tasks', () => {
    expect(planTasks({ ...file, tasks: [] })).toMatchObject({ objective: 0, provenOptimal: true, tasks: [] });
  });
});
