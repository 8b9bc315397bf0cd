/**
 * A small seeded generator (mulberry32, public domain, Tommy Ettinger): equal seeds give equal numbers everywhere.
 * Good enough to shake a search; not for secrets.
 */
export class Random {
  private state: number;

  constructor(seed: number) {
    this.state = Math.trunc(seed) >>> 0;
  }

  /** In [0, 1). */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  /** In 0 .. count - 1. */
  below(count: number): number {
    return Math.floor(this.next() * count);
  }
}
