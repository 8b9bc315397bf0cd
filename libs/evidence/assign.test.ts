import fc from 'fast-check';
import { expect, it } from 'vitest';
import { assign } from './assign.js';

/** The slow way: every injective choice. */
function bestTotal(scores: readonly (readonly number[])[], row = 0, taken: readonly number[] = []): number {
  if (row === scores.length) return 0;
  const skip = bestTotal(scores, row + 1, taken);
  return (scores[row] ?? []).reduce(
    (best, score, column) =>
      taken.includes(column) ? best : Math.max(best, score + bestTotal(scores, row + 1, [...taken, column])),
    skip,
  );
}

it('adds up to the most there can be', () => {
  const grid = fc
    .tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 5 }))
    .chain(([rows, columns]) =>
      fc.array(
        fc.array(
          fc.integer({ min: 0, max: 100 }).map((n) => n / 100),
          { minLength: columns, maxLength: columns },
        ),
        {
          minLength: rows,
          maxLength: rows,
        },
      ),
    );
  fc.assert(
    fc.property(grid, (scores) => {
      const chosen = assign(scores);
      const used = chosen.filter((column) => column >= 0);
      expect(new Set(used).size).toBe(used.length);
      const total = chosen.reduce(
        (sum, column, row) => sum + (column < 0 ? 0 : (scores[row]?.[column] ?? 0)),
        0,
      );
      expect(total).toBeCloseTo(bestTotal(scores), 9);
    }),
    { numRuns: 300 },
  );
});
