import { describe, expect, it } from 'vitest';
import { LatestOnly } from './LatestOnly.js';

function counter(fail = new Set<number>()) {
  const sent: [value: number, version: number][] = [];
  const done: number[] = [];
  const failed: unknown[] = [];
  const latest = new LatestOnly<number, { version: number; value: number }>({
    version: 1,
    send: async (value, version) => {
      sent.push([value, version]);
      await Promise.resolve();
      if (fail.has(value)) throw new Error(`no ${value}`);
      return { version: version + 1, value };
    },
    done: (record) => done.push(record.value),
    failed: (error) => failed.push(error),
  });
  return { latest, sent, done, failed };
}

describe('quick taps', () => {
  it('are two writes: the first and the newest, on rising versions', async () => {
    const { latest, sent, done } = counter();
    const first = latest.put(1);
    for (const value of [2, 3, 4, 5]) void latest.put(value);
    await first;
    expect(sent).toEqual([
      [1, 1],
      [5, 2],
    ]);
    expect(done).toEqual([5]);
  });
  it('stop at a refusal and start again from the version seen then', async () => {
    const { latest, sent, failed } = counter(new Set([1]));
    const first = latest.put(1);
    void latest.put(2);
    await first;
    expect(sent).toEqual([[1, 1]]);
    expect(failed).toHaveLength(1);
    latest.sawVersion(7);
    await latest.put(3);
    expect(sent.at(-1)).toEqual([3, 7]);
  });
});
