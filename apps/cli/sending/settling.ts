/**
 * When a file is whole: its size and time have not changed for a while, looked at more than once. A clock that is
 * wrong (a share on another machine) does no harm: what counts is how long we saw nothing change. Pure.
 */
export interface Seen {
  readonly bytes: number;
  readonly modifiedMs: number;
}

export class Settling {
  readonly #since = new Map<string, Seen & { readonly sinceMs: number }>();

  /** @param settleMs how long nothing may change before a file counts as whole */
  constructor(private readonly settleMs: number) {}

  /** One more look at a file. @returns whether it is whole now */
  look(name: string, seen: Seen, nowMs: number): boolean {
    const before = this.#since.get(name);
    const same = before?.bytes === seen.bytes && before.modifiedMs === seen.modifiedMs;
    if (!before || !same) {
      // Written long before we came: it settled without us. Nothing is said about times in the future.
      const age = nowMs - seen.modifiedMs;
      const sinceMs = !before && age >= 2 * this.settleMs ? nowMs - this.settleMs : nowMs;
      this.#since.set(name, { ...seen, sinceMs });
      return seen.bytes > 0 && sinceMs !== nowMs;
    }
    return seen.bytes > 0 && nowMs - before.sinceMs >= this.settleMs;
  }

  /** It changed while it was read or sent: from now on it is looked at anew. */
  forget(name: string): void {
    this.#since.delete(name);
  }
}
