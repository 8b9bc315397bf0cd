import type { Instance } from '../engine/instance.js';
import type { Objective } from '../search/decoder.js';
import { asSingleMachine } from '../singleMachine/recognise.js';
import type { PlanBudget } from './planInput.js';

/**
 * A budget as a number of schedules. Milliseconds are turned into schedules by a fixed price per schedule, not by a
 * clock, so that equal input gives an equal plan on every machine; the price is set so that a small two-core machine
 * stays well within the time.
 */
export function budgetInSchedules(budget: PlanBudget, priced: Priced): number {
  if ('schedules' in budget) return budget.schedules;
  return Math.max(1, Math.floor((budget.milliseconds * 1000) / microsecondsPerSchedule(priced)));
}

interface Priced {
  readonly objective: Objective;
  readonly instance: Instance;
}

/** Measured on two shared cores, doubled. */
function microsecondsPerSchedule({ objective, instance }: Priced): number {
  const count = instance.taskIds.length;
  // Jobs on one machine need no search for gaps; half of the time is for the proof.
  if (objective === 'weightedTardiness' && asSingleMachine(instance)) return 0.04 * count;
  return 2 * (2 + 0.4 * count + 0.005 * count * count);
}
