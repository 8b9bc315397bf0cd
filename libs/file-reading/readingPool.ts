/** Limited processes kept warm: starting one costs about as much as reading a set. */
import { LimitedProcess, ReadingStopped, type ProcessLimits } from './limitedProcess.js';
import type { ReadingRequest, ReadingTask, ReadingTasks } from './readingTasks.js';

export interface ReadingPool {
  /** @throws ReadingStopped when the input ended two processes, or was not read in time */
  run<T extends ReadingTask>(task: T, ask: ReadingTasks[T]['ask']): Promise<ReadingTasks[T]['answer']>;
  /** Ids of the processes there are now. */
  pids(): number[];
  /** What is at work is finished first. */
  close(): Promise<void>;
}

const MOST_PROCESSES = 4;
const IDLE_MS = 5 * 60_000;

/** Of all series and files of a set, twice over. Common practice, no source. */
export const readingLimits: ProcessLimits = {
  heapMB: 1024,
  memoryMB: 3072,
  patienceMs: 120_000,
  folders: [],
};

/**
 * @param processes how many may read at once
 * @param warm how many are started before they are asked for, and stay
 */
export function openReadingPool(
  processes: number,
  limits: Partial<ProcessLimits> = {},
  warm = 0,
): ReadingPool {
  return new Pool(Math.max(1, Math.min(processes, MOST_PROCESSES)), { ...readingLimits, ...limits }, warm);
}

class Pool implements ReadingPool {
  readonly #all = new Set<LimitedProcess>();
  readonly #free: { readonly one: LimitedProcess; readonly since: number }[] = [];
  readonly #waiting: ((one: LimitedProcess) => void)[] = [];
  readonly #working = new Set<Promise<unknown>>();
  readonly #tidying: NodeJS.Timeout;

  constructor(
    private readonly most: number,
    private readonly limits: ProcessLimits,
    private readonly warm: number,
  ) {
    for (let count = 0; count < warm; count++) this.#release(this.#start());
    this.#tidying = setInterval(() => this.#tidy(), IDLE_MS / 5).unref();
  }

  async run<T extends ReadingTask>(task: T, ask: ReadingTasks[T]['ask']): Promise<ReadingTasks[T]['answer']> {
    const work = this.#twice({ task, ask } as ReadingRequest);
    this.#working.add(work);
    try {
      return (await work) as ReadingTasks[T]['answer'];
    } finally {
      this.#working.delete(work);
    }
  }

  pids(): number[] {
    return [...this.#all].flatMap(({ alive, pid }) => (alive && pid !== undefined ? [pid] : []));
  }

  async close(): Promise<void> {
    clearInterval(this.#tidying);
    await Promise.allSettled(this.#working);
    for (const one of this.#all) one.kill();
  }

  /** A process that died may have been killed by anybody: what ends a second one, too, is the input. */
  async #twice(request: ReadingRequest): Promise<unknown> {
    try {
      return await this.#once(request);
    } catch (error) {
      if (!(error instanceof ReadingStopped) || error.cause === 'too-long') throw error;
      return this.#once(request);
    }
  }

  async #once(request: ReadingRequest): Promise<unknown> {
    const one = await this.#take();
    try {
      return await one.run(request);
    } finally {
      this.#release(one);
    }
  }

  #take(): LimitedProcess | Promise<LimitedProcess> {
    for (let next = this.#free.pop(); next; next = this.#free.pop()) {
      if (next.one.alive) return next.one;
      this.#all.delete(next.one);
    }
    if (this.#all.size < this.most) return this.#start();
    return new Promise((resolve) => this.#waiting.push(resolve));
  }

  #release(one: LimitedProcess): void {
    if (!one.alive) this.#all.delete(one);
    const next = this.#waiting.shift();
    if (next) next(one.alive ? one : this.#start());
    else if (one.alive) this.#free.push({ one, since: Date.now() });
  }

  #start(): LimitedProcess {
    const one = new LimitedProcess(this.limits);
    this.#all.add(one);
    return one;
  }

  /** Those that have waited long end, but for the ones that stay warm. */
  #tidy(): void {
    const old = this.#free.filter(({ since }) => since < Date.now() - IDLE_MS);
    for (const idle of old.slice(0, Math.max(0, this.#free.length - this.warm))) {
      this.#free.splice(this.#free.indexOf(idle), 1);
      this.#all.delete(idle.one);
      idle.one.kill();
    }
  }
}
