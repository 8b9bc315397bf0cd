/**
 * Sends the newest of quickly following values, one at a time: five taps on a counter are two writes, never five
 * racing ones, and each write names the version the one before it made.
 */
export class LatestOnly<T, R extends { readonly version: number }> {
  readonly #send: (value: T, version: number) => Promise<R>;
  readonly #done: (record: R) => void;
  readonly #failed: (error: unknown) => void;
  #version: number;
  #waiting: { readonly value: T } | null = null;
  #sending = false;

  constructor(doors: {
    readonly version: number;
    readonly send: (value: T, version: number) => Promise<R>;
    /** After the last waiting value was kept. */
    readonly done: (record: R) => void;
    readonly failed: (error: unknown) => void;
  }) {
    this.#version = doors.version;
    this.#send = doors.send;
    this.#done = doors.done;
    this.#failed = doors.failed;
  }

  get busy(): boolean {
    return this.#sending;
  }

  /** The record came anew from elsewhere. */
  sawVersion(version: number): void {
    if (!this.#sending) this.#version = version;
  }

  async put(value: T): Promise<void> {
    this.#waiting = { value };
    if (this.#sending) return;
    this.#sending = true;
    try {
      let kept: R | null = null;
      while (this.#waiting) {
        const next: { readonly value: T } = this.#waiting;
        this.#waiting = null;
        kept = await this.#send(next.value, this.#version);
        this.#version = kept.version;
      }
      this.#sending = false;
      if (kept) this.#done(kept);
    } catch (error) {
      this.#sending = false;
      this.#waiting = null;
      this.#failed(error);
    }
  }
}
