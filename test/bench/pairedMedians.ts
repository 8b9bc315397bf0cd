/**
 * Times several ways of doing the same thing in turn, so that a busy moment of the machine hits all of them.
 *
 * @param ways each gives its own time in milliseconds
 * @returns the median of each, in order
 */
export async function pairedMedians(
  ways: readonly (() => number | Promise<number>)[],
  runs: number,
  warmUp = 3,
): Promise<number[]> {
  const times = ways.map((): number[] => []);
  for (let run = -warmUp; run < runs; run++) {
    for (const [i, way] of ways.entries()) {
      const ms = await way();
      if (run >= 0) times[i].push(ms);
    }
  }
  return times.map(median);
}

export const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
