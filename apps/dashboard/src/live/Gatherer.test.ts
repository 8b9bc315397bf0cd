import { expect, it } from 'vitest';
import { atOnce, Gatherer, inAMoment } from './Gatherer.js';

it('passes on the first soon, the rest together, and loses none', () => {
  let now = 0;
  const due: { at: number; run: () => void }[] = [];
  const passed: [at: number, items: readonly string[]][] = [];
  const gatherer = new Gatherer<string>(
    (item) => item,
    (items) => passed.push([now, items]),
    atOnce,
    { now: () => now, later: (run, ms) => void due.push({ at: now + ms, run }) },
  );
  const until = (end: number) => {
    for (; now <= end; now++) for (const task of due.splice(0).filter((each) => !keepFor(each))) task.run();
  };
  const keepFor = (task: { at: number; run: () => void }) => {
    if (task.at <= now) return false;
    due.push(task);
    return true;
  };
  for (let i = 0; i < 70; i++) {
    gatherer.add(['sets', 'unit', ...(i === 69 ? ['dashboard'] : [])]);
    until(now + 10);
  }
  until(now + 500);
  expect(passed[0]).toEqual([60, ['sets', 'unit']]);
  expect(passed.length).toBeLessThanOrEqual(4);
  expect(passed.at(-1)?.[1]).toContain('dashboard');
  gatherer.add([]);
  until(now + 500);
  expect(passed.at(-1)?.[1]).toContain('dashboard');
});

it('asks for what is costly a few times, however many files come', () => {
  let now = 0;
  let due: { at: number; run: () => void }[] = [];
  const passed: number[] = [];
  const gatherer = new Gatherer<string>(
    (item) => item,
    () => passed.push(now),
    inAMoment,
    { now: () => now, later: (run, ms) => void due.push({ at: now + ms, run }) },
  );
  // Seventy files, one every 100 ms.
  for (; now < 12_000; now += 10) {
    if (now % 100 === 0 && now < 7000) gatherer.add(['loan']);
    const ready = due.filter(({ at }) => at <= now);
    due = due.filter(({ at }) => at > now);
    for (const { run } of ready) run();
  }
  expect(passed).toEqual([1200, 4200, 7200]);
});
