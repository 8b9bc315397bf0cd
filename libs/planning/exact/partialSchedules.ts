import type { Instance } from '../engine/instance.js';

interface Entry {
  readonly floor: number;
  readonly cost: number;
  readonly start: Float64Array;
}

/** Entries kept in all; what does not fit is simply not remembered. */
const entriesMost = 200_000;
/** A long list of one set costs more to look through than it saves. */
const entriesPerSetMost = 12;

/**
 * Partial schedules that were looked at already. One of the same tasks that is nowhere worse makes another needless:
 * whatever follows the other may follow it too (cut-set rule, Demeulemeester and Herroelen 1992).
 */
export class PartialSchedules {
  private readonly bySet = new Map<string, Entry[]>();
  private entries = 0;

  constructor(private readonly instance: Instance) {}

  /**
   * Whether a partial schedule is dominated; if not, it is remembered.
   * @param start -1 for tasks not placed
   * @param floor no further task starts before it
   * @param cost of the placed tasks
   */
  isDominated(start: Float64Array, floor: number, cost: number): boolean {
    const key = keyOf(start);
    const known = this.bySet.get(key);
    if (known?.some((entry) => this.dominates(entry, start, floor, cost))) return true;
    if (this.entries >= entriesMost || (known?.length ?? 0) >= entriesPerSetMost) return false;
    this.entries += 1;
    const entry = { floor, cost, start: start.slice() };
    if (known) known.push(entry);
    else this.bySet.set(key, [entry]);
    return false;
  }

  private dominates(entry: Entry, start: Float64Array, floor: number, cost: number): boolean {
    if (entry.floor > floor || entry.cost > cost) return false;
    const { duration, successors } = this.instance;
    for (let task = 0; task < start.length; task += 1) {
      if (start[task] < 0 || entry.start[task] <= start[task]) continue;
      const finish = entry.start[task] + duration[task];
      // Later is no worse once the task is over before anything else may begin.
      if (finish > floor || successors[task].some((link) => link.lag > 0 || link.nextDay)) return false;
    }
    return true;
  }
}

function keyOf(start: Float64Array): string {
  let key = '';
  for (let from = 0; from < start.length; from += 15) {
    let bits = 0;
    for (let i = from; i < Math.min(from + 15, start.length); i += 1)
      bits = bits * 2 + (start[i] >= 0 ? 1 : 0);
    key += String.fromCharCode(bits);
  }
  return key;
}
