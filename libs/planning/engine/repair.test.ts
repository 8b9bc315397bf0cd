import { describe, expect, it } from 'vitest';
import { Board } from './board.js';
import type { Instance } from './instance.js';
import { CapacityProfile } from './profile.js';
import { placeMissing } from './repair.js';

/** One person; A before B; C on its own. */
function chain(): Instance {
  const link = (task: number) => ({ task, lag: 0, nextDay: false });
  return {
    taskIds: ['a', 'b', 'c'],
    resourceIds: ['person'],
    duration: Float64Array.of(2, 4, 3),
    earliest: Float64Array.of(0, 0, 0),
    due: Float64Array.of(Infinity, Infinity, Infinity),
    weight: Float64Array.of(0, 0, 0),
    fixedStart: Float64Array.of(-1, -1, -1),
    predecessors: [[], [link(0)], []],
    successors: [[link(1)], [], []],
    topological: Int32Array.of(0, 1, 2),
    alternatives: [0, 1, 2].map(() => [[{ resource: 0, units: 1 }]]),
    follows: Int32Array.of(-1, -1, -1),
    calendars: [CapacityProfile.open([[0, 100]], 1)],
    dayStarts: Float64Array.of(0),
  };
}

describe('placeMissing', () => {
  const none = new Uint8Array(3);

  it('puts a task before what waits for it, which moves only as far as it must', () => {
    const board = new Board(chain());
    board.book(1, 0, 0);
    board.book(2, 4, 0);
    expect(placeMissing(board, [0, 1, 2], none)).toEqual([]);
    // By hand: A takes 0..2, C stays at 4..7, so that B finds its four slots from 7.
    expect([...board.start]).toEqual([0, 7, 4]);
  });

  it('leaves what waits where it is when there is room before it', () => {
    const board = new Board(chain());
    board.book(1, 3, 0);
    placeMissing(board, [0, 1, 2], none);
    expect([...board.start]).toEqual([0, 3, 7]);
  });

  it('never pushes aside what is fixed, or what does not wait for it', () => {
    const board = new Board(chain());
    board.book(1, 1, 0);
    board.book(2, 5, 0);
    placeMissing(board, [0, 1, 2], Uint8Array.of(0, 1, 0));
    expect([...board.start]).toEqual([8, 1, 5]);
  });
});
