/** What is known of one set of jobs. */
export interface SetState {
  readonly cost: number;
  readonly time: number;
  /** Prices of the jobs not in the set. */
  readonly priceLeft: number;
  readonly last: number;
  /** Index of the set it was made from, in the layer before. */
  readonly parent: number;
}

/** Sets of jobs of one size, in flat tables, found again by an open-addressing hash of their words. */
export class Layer {
  length = 0;
  sets: Int32Array;
  cost = new Float64Array(256);
  time = new Int32Array(256);
  priceLeft = new Float64Array(256);
  last = new Int16Array(256);
  parent = new Int32Array(256);
  private slots = new Int32Array(1024).fill(-1);

  /** @param words 32-bit words of a set */
  constructor(private readonly words: number) {
    this.sets = new Int32Array(256 * words);
  }

  /** Index of a set, -1 if it is not here. */
  find(set: Int32Array): number {
    const mask = this.slots.length - 1;
    for (let slot = hashOf(set, 0, this.words) & mask; ; slot = (slot + 1) & mask) {
      const at = this.slots[slot];
      if (at < 0 || this.isSame(at, set)) return at;
    }
  }

  /** Enter a set that is not here yet. */
  add(set: Int32Array, state: SetState): void {
    if (this.length === this.cost.length) this.grow();
    const at = this.length;
    this.sets.set(set, at * this.words);
    this.cost[at] = state.cost;
    this.time[at] = state.time;
    this.priceLeft[at] = state.priceLeft;
    this.last[at] = state.last;
    this.parent[at] = state.parent;
    this.length += 1;
    if (2 * this.length > this.slots.length) this.growIndex();
    else this.enter(at);
  }

  /** No set will be looked for any more: only the way back through last jobs and parents is needed. */
  forgetIndex(): void {
    this.slots = new Int32Array(0);
    this.sets = new Int32Array(0);
    this.priceLeft = new Float64Array(0);
    this.time = new Int32Array(0);
  }

  private isSame(at: number, set: Int32Array): boolean {
    const base = at * this.words;
    for (let word = 0; word < this.words; word += 1) if (this.sets[base + word] !== set[word]) return false;
    return true;
  }

  private enter(at: number): void {
    const mask = this.slots.length - 1;
    let slot = hashOf(this.sets, at * this.words, this.words) & mask;
    while (this.slots[slot] >= 0) slot = (slot + 1) & mask;
    this.slots[slot] = at;
  }

  private growIndex(): void {
    this.slots = new Int32Array(2 * this.slots.length).fill(-1);
    for (let at = 0; at < this.length; at += 1) this.enter(at);
  }

  private grow(): void {
    const size = 2 * this.cost.length;
    this.sets = copied(this.sets, new Int32Array(size * this.words));
    this.cost = copied(this.cost, new Float64Array(size));
    this.time = copied(this.time, new Int32Array(size));
    this.priceLeft = copied(this.priceLeft, new Float64Array(size));
    this.last = copied(this.last, new Int16Array(size));
    this.parent = copied(this.parent, new Int32Array(size));
  }
}

function copied<T extends Int32Array | Int16Array | Float64Array>(from: T, to: T): T {
  to.set(from);
  return to;
}

function hashOf(sets: Int32Array, from: number, words: number): number {
  let hash = 0x811c9dc5;
  for (let at = from; at < from + words; at += 1) {
    hash = Math.imul(hash ^ sets[at], 0x01000193);
    hash ^= hash >>> 15;
  }
  return Math.imul(hash, 0x85ebca6b) >>> 0;
}
