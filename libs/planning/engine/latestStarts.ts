import type { Decoder } from '../search/decoder.js';

/**
 * Latest start of every task that leaves the objective as it is, when the tasks after it move back too: the schedule
 * pushed to the right, the last task first, each up to its due date (or to its own finish where it is late already),
 * and everything up to the end of the schedule.
 *
 * All these starts together are a schedule of the same objective, so nobody's slack is spent twice.
 */
export function latestStartsOf(decoder: Decoder, start: Float64Array): Float64Array {
  const { instance, objective, windows } = decoder;
  const { duration, due } = instance;
  let end = 0;
  for (let task = 0; task < start.length; task += 1) end = Math.max(end, start[task] + duration[task]);
  const limit = start.map((time, task) => {
    const finish = time + duration[task];
    return objective === 'makespan' ? end : Math.min(end, Math.max(finish, due[task]));
  });
  const schedule = { start, isMirrored: false, value: 0, violation: 0 };
  const late = decoder.backward(decoder.reversedOrder(schedule), limit);
  return late.start.map((time, task) => windows.horizon - time - duration[task]);
}
