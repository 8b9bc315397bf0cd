/**
 * Gathers what became stale and passes it on together: seventy files that arrive one by one are a handful of
 * questions to the server, not seventy. The first waits a moment, the next ones a little longer.
 */
const FIRST_MS = 60;
const NEXT_MS = 400;

export class Gatherer<T> {
  readonly #pass: (items: readonly T[]) => void;
  readonly #keyOf: (item: T) => string;
  readonly #clock: { readonly now: () => number; readonly later: (run: () => void, ms: number) => void };
  #waiting = new Map<string, T>();
  #passedAt = -Infinity;
  #asked = false;

  constructor(
    keyOf: (item: T) => string,
    pass: (items: readonly T[]) => void,
    clock = { now: () => Date.now(), later: (run: () => void, ms: number): void => void setTimeout(run, ms) },
  ) {
    this.#keyOf = keyOf;
    this.#pass = pass;
    this.#clock = clock;
  }

  add(items: readonly T[]): void {
    for (const item of items) this.#waiting.set(this.#keyOf(item), item);
    if (this.#asked || this.#waiting.size === 0) return;
    this.#asked = true;
    const sinceLast = this.#clock.now() - this.#passedAt;
    this.#clock.later(() => this.#flush(), Math.max(FIRST_MS, NEXT_MS - sinceLast));
  }

  #flush(): void {
    const items = [...this.#waiting.values()];
    this.#waiting = new Map();
    this.#asked = false;
    this.#passedAt = this.#clock.now();
    this.#pass(items);
  }
}
