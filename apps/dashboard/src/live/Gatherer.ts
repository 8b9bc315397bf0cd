/**
 * Gathers what became stale and passes it on together: seventy files that arrive one by one are a handful of
 * questions to the server, not seventy. The first waits a moment, the next ones a little longer.
 */
export interface Pace {
  readonly firstMs: number;
  readonly nextMs: number;
}
export const atOnce: Pace = { firstMs: 60, nextMs: 400 };
/** For what is costly to ask for while more of the same is still coming. */
export const inAMoment: Pace = { firstMs: 1200, nextMs: 3000 };

export class Gatherer<T> {
  readonly #pass: (items: readonly T[]) => void;
  readonly #keyOf: (item: T) => string;
  readonly #pace: Pace;
  readonly #clock: { readonly now: () => number; readonly later: (run: () => void, ms: number) => void };
  #waiting = new Map<string, T>();
  #passedAt = -Infinity;
  #asked = false;

  constructor(
    keyOf: (item: T) => string,
    pass: (items: readonly T[]) => void,
    pace = atOnce,
    clock = { now: () => Date.now(), later: (run: () => void, ms: number): void => void setTimeout(run, ms) },
  ) {
    this.#keyOf = keyOf;
    this.#pass = pass;
    this.#pace = pace;
    this.#clock = clock;
  }

  add(items: readonly T[]): void {
    for (const item of items) this.#waiting.set(this.#keyOf(item), item);
    if (this.#asked || this.#waiting.size === 0) return;
    this.#asked = true;
    const sinceLast = this.#clock.now() - this.#passedAt;
    this.#clock.later(() => this.#flush(), Math.max(this.#pace.firstMs, this.#pace.nextMs - sinceLast));
  }

  #flush(): void {
    const items = [...this.#waiting.values()];
    this.#waiting = new Map();
    this.#asked = false;
    this.#passedAt = this.#clock.now();
    this.#pass(items);
  }
}
