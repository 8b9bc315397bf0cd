import type { Decoder } from './decoder.js';
import { dispatchedList } from './dispatch.js';
import { latestFinishKeys, listByKey } from './lists.js';

/** Dispatching looks at every waiting task at every step: too slow beyond. */
const dispatchTasksMost = 400;

/**
 * Try schedules by priority rules for weighted tardiness: due dates, due dates eased by weight per length, weight per
 * length alone, and what to start whenever something is free.
 */
export function ruleSchedules(decoder: Decoder, bound: number): void {
  const { instance, windows, objective } = decoder;
  const { duration, weight } = instance;
  const due = latestFinishKeys(instance, windows, objective, windows.horizon);
  const mean = duration.reduce((sum, time) => sum + time, 0) / Math.max(1, duration.length);
  const worth = weight.map((value, task) => value / Math.max(1, duration[task]));
  const eased = [0.3, 1, 3].map((ease) => due.map((time, task) => time - 10 * ease * mean * worth[task]));
  const rules = [due, ...eased, worth.map((value) => -value)].map((key) => () => listByKey(instance, key));
  if (duration.length <= dispatchTasksMost) {
    for (const lookAhead of [0.5, 1.5, 4]) {
      rules.push(() => {
        decoder.effort.spend();
        return dispatchedList(instance, windows, due, lookAhead);
      });
    }
  }
  for (const list of rules) {
    if (decoder.isDone(bound)) break;
    decoder.forward(list());
  }
}
