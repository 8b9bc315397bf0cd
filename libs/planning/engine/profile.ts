/**
 * How much of one resource is free over time, as a step function on [0, infinity).
 *
 * A calendar is the same thing as a booking: time in which less is free. Closed hours, holidays, travel and other
 * people's bookings therefore all live in one profile, and a search for a gap sees them all at once.
 */
export class CapacityProfile {
  /** Start of each segment; strictly rising, the first is 0. The last segment has no end. */
  private times: Float64Array;
  /** Free units in each segment. */
  private free: Float64Array;
  private count = 1;

  /** @param capacity units free everywhere until something is taken */
  constructor(capacity: number) {
    this.times = new Float64Array(16);
    this.free = new Float64Array(16);
    this.free[0] = capacity;
  }

  /**
   * A profile that has `capacity` units inside the windows and none outside.
   * @param windows [from, to) pairs, rising and disjoint, in time units >= 0
   */
  static open(windows: readonly (readonly [number, number])[], capacity: number): CapacityProfile {
    const profile = new CapacityProfile(0);
    profile.grow(2 * windows.length + 2);
    for (const [from, to] of windows) {
      if (to <= from || to <= 0) continue;
      profile.append(Math.max(from, 0), capacity);
      profile.append(to, 0);
    }
    return profile;
  }

  /** Number of segments, for tests and for estimating work. */
  get segments(): number {
    return this.count;
  }

  copyFrom(other: CapacityProfile): void {
    this.grow(other.count);
    this.times.set(other.times.subarray(0, other.count));
    this.free.set(other.free.subarray(0, other.count));
    this.count = other.count;
  }

  /** What is free when time runs backwards from a horizon; nothing of the time after it is kept. */
  mirrored(horizon: number): CapacityProfile {
    const profile = new CapacityProfile(0);
    profile.grow(this.count + 1);
    let from = 0;
    for (let i = this.segmentAt(horizon); i >= 0; i -= 1) {
      if (this.times[i] >= horizon) continue;
      profile.append(from, this.free[i]);
      from = horizon - this.times[i];
    }
    // What lies before the beginning of time is as free as the resource ever is: a schedule that reaches so far back
    // tells by how much it is too long.
    profile.append(from, this.most);
    return profile;
  }

  /** Last time at which anything changes. */
  get settledAt(): number {
    return this.times[this.count - 1];
  }

  /** Most units free at any time. */
  get most(): number {
    let most = 0;
    for (let i = 0; i < this.count; i += 1) most = Math.max(most, this.free[i]);
    return most;
  }

  /** Units free after everything has settled. */
  get freeInTheEnd(): number {
    return this.free[this.count - 1];
  }

  clone(): CapacityProfile {
    const copy = new CapacityProfile(0);
    copy.copyFrom(this);
    return copy;
  }

  /** Earliest start >= from at which `need` units stay free for `duration`; Infinity when there is none. */
  earliestFit(from: number, duration: number, need: number): number {
    if (need <= 0 || duration <= 0) return from;
    const { times, free, count } = this;
    let i = this.segmentAt(from);
    let start = from;
    for (;;) {
      if (free[i] < need) {
        i += 1;
        if (i >= count) return Infinity;
        start = times[i];
        continue;
      }
      i += 1;
      if (i >= count || times[i] >= start + duration) return start;
    }
  }

  /** Latest start whose finish is <= before at which `need` units stay free for `duration`; -Infinity when none. */
  latestFit(before: number, duration: number, need: number): number {
    if (need <= 0 || duration <= 0) return before - Math.max(duration, 0);
    const { times, free } = this;
    let finish = before;
    if (finish - duration < 0) return -Infinity;
    // The segment that holds the last instant before `finish`.
    let i = this.segmentAt(finish);
    if (i > 0 && times[i] >= finish) i -= 1;
    for (; i >= 0; i -= 1) {
      const from = times[i];
      if (free[i] < need) {
        finish = from;
        if (finish - duration < 0) return -Infinity;
      } else if (finish - duration >= from) {
        return finish - duration;
      }
    }
    return -Infinity;
  }

  /** Smallest number of free units anywhere in [start, start + duration). */
  freeDuring(start: number, duration: number): number {
    let least = Infinity;
    for (let i = this.segmentAt(start); i < this.count; i += 1) {
      if (this.times[i] >= start + duration) break;
      least = Math.min(least, this.free[i]);
    }
    return least;
  }

  /** First time by which `work` (units times time) can have been done from a time on; Infinity when never. */
  enoughAt(from: number, work: number): number {
    let left = work;
    for (let i = this.segmentAt(from); ; i += 1) {
      const start = Math.max(from, this.times[i]);
      const free = Math.max(0, this.free[i]);
      if (left <= 0) return start;
      if (i + 1 >= this.count) return free > 0 ? Math.ceil(start + left / free) : Infinity;
      const room = (this.times[i + 1] - start) * free;
      if (room >= left) return Math.ceil(start + left / free);
      left -= room;
    }
  }

  /** Take `need` units during [start, start + duration); a negative need gives them back. */
  reserve(start: number, duration: number, need: number): void {
    if (duration <= 0 || need === 0) return;
    const first = this.breakAt(start, 0);
    const last = this.breakAt(start + duration, first);
    for (let i = first; i < last; i += 1) this.free[i] = this.free[i] - need;
  }

  /** Give `need` units back and drop the breakpoints that no longer mean anything. */
  release(start: number, duration: number, need: number): void {
    if (duration <= 0 || need === 0) return;
    this.reserve(start, duration, -need);
    this.mergeAt(start + duration);
    this.mergeAt(start);
  }

  private segmentAt(time: number): number {
    let low = 0;
    let high = this.count - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.times[middle] <= time) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  private breakAt(time: number, from: number): number {
    let i = from;
    if (this.count - from > 24) i = this.segmentAt(time);
    else while (i + 1 < this.count && this.times[i + 1] <= time) i += 1;
    if (this.times[i] === time) return i;
    this.grow(this.count + 1);
    this.times.copyWithin(i + 2, i + 1, this.count);
    this.free.copyWithin(i + 2, i + 1, this.count);
    this.times[i + 1] = time;
    this.free[i + 1] = this.free[i];
    this.count += 1;
    return i + 1;
  }

  private mergeAt(time: number): void {
    const i = this.segmentAt(time);
    if (i === 0 || this.times[i] !== time || this.free[i] !== this.free[i - 1]) return;
    this.times.copyWithin(i, i + 1, this.count);
    this.free.copyWithin(i, i + 1, this.count);
    this.count -= 1;
  }

  private append(time: number, units: number): void {
    if (this.times[this.count - 1] === time) {
      this.free[this.count - 1] = units;
      return;
    }
    this.times[this.count] = time;
    this.free[this.count] = units;
    this.count += 1;
  }

  private grow(size: number): void {
    if (size <= this.times.length) return;
    const length = Math.max(size, 2 * this.times.length);
    const times = new Float64Array(length);
    const free = new Float64Array(length);
    times.set(this.times.subarray(0, this.count));
    free.set(this.free.subarray(0, this.count));
    this.times = times;
    this.free = free;
  }
}
