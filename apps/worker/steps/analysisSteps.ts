/**
 * An analysis: files to series, series to numbers, numbers to figures. One job takes it from where its row stands to
 * its end. The row moves on with its event in one transaction per step, so what a killed worker leaves is taken up at
 * the step it was at; a step moves a row on only from the state it began at, so that run twice it does so once.
 *
 * The computing of a step begins while the row is still being written of the step before. Nothing of it counts until
 * that is kept: rows and events come in their order, whatever was computed by then.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { AnalysisResult, AnalysisSettings } from '../../../libs/acoustics/analysis.js';
import { statesAtWork } from '../../../libs/contracts/index.js';
import { LeftOff } from '../../../libs/jobs/passing.js';
import type { RunningJob } from '../../../libs/jobs/queues.js';
import {
  archiveComputation,
  change,
  stepComputation,
  theHouse,
  type ComputationInput,
  type ComputationStep,
} from '../../../libs/store/index.js';
import { COMPUTE_POOL } from '../tokens.js';
import type { ComputePool } from '../threads/computePool.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';
import { keepFigures, loadEntries, provenanceOf } from './files.js';
import { tellMissingData } from './tellMissingData.js';

interface Computation {
  readonly id: string;
  readonly inputs: readonly ComputationInput[];
  readonly settings: Partial<AnalysisSettings>;
  readonly series: string | null;
  readonly result: AnalysisResult | null;
  readonly invented: boolean;
  readonly state: (typeof statesAtWork)[number];
  readonly algorithmVersion: string;
  readonly computeMs: number | null;
}

/** What a step leaves to the next one, and whether the row has been moved on to that. */
interface Left<T> {
  readonly outcome: T;
  readonly computeMs: number;
  readonly moved: Promise<boolean>;
}

type AnalysisJob = RunningJob<'read-set' | 'analyse-set' | 'draw-figures'>;

const progressOf = { reading: 0.05, analysing: 0.4, drawing: 0.75 } as const;

@Injectable()
export class AnalysisSteps {
  #leavingOff = false;

  constructor(
    @Inject(CONFIG) private readonly config: WorkerConfig,
    @Inject(COMPUTE_POOL) private readonly pool: ComputePool,
  ) {}

  /** From now on an analysis ends with the step it is at, and waits there for another worker. */
  leaveOff(): void {
    this.#leavingOff = true;
  }

  async toItsEnd({ payload }: AnalysisJob): Promise<void> {
    const { prisma } = this.config.database;
    const found = await prisma.computation.findFirst({
      where: { id: payload.computationId, state: { in: [...statesAtWork] } },
    });
    if (!found) return;
    const computation = found as unknown as Computation;
    const { id } = computation;
    const state = computation.state === 'queued' ? 'reading' : computation.state;
    const begun = this.#move(id, [computation.state], {
      state,
      progress: progressOf[state],
      begins: 'again',
    });
    const at = { computeMs: computation.computeMs ?? 0, moved: begun };
    const read = state === 'reading' ? await this.#read(computation, at) : { ...at, outcome: undefined };
    const analysed =
      state === 'drawing'
        ? { ...at, outcome: computation.result }
        : read && (await this.#analyse(computation, read));
    if (analysed) await this.#draw(computation, analysed);
  }

  /** How often the step that it is at was begun before. */
  async beginnings({ payload }: AnalysisJob): Promise<number> {
    const found = await this.config.database.prisma.computation.findUnique({
      where: { id: payload.computationId },
      select: { attempts: true },
    });
    return found?.attempts ?? 0;
  }

  /** Where people see it, with a way to try again. */
  async setAside({ payload }: AnalysisJob, reason: string): Promise<void> {
    await this.#move(payload.computationId, statesAtWork, { state: 'quarantined', progress: 1, reason });
  }

  async #read({ id, inputs }: Computation, { moved }: Omit<Left<void>, 'outcome'>) {
    const done = await meanwhile(moved, async () => {
      const entries = await loadEntries(this.config.blobs, inputs);
      return timed(() => this.pool.read({ entries }));
    });
    if (!done) return undefined;
    const { series, problems } = done.outcome;
    if (!series) {
      const reason = `${problems.length} problem${problems.length === 1 ? '' : 's'} in the files; see the list.`;
      await this.#move(id, ['reading'], { state: 'refused', progress: 1, reason, problems });
      return undefined;
    }
    const kept = this.config.blobs.keep(series);
    const { computeMs } = done;
    const { analysing: progress } = progressOf;
    const next = kept.then(({ sha256 }) =>
      this.#move(id, ['reading'], {
        state: 'analysing',
        progress,
        begins: 'first',
        series: sha256,
        computeMs,
      }),
    );
    return { outcome: series, computeMs, moved: next };
  }

  async #analyse(computation: Computation, before: Left<Uint8Array | undefined>) {
    await this.#mayGoOn(before);
    const { id, settings } = computation;
    const done = await meanwhile(before.moved, async () => {
      const series = before.outcome ?? (await this.config.blobs.read(computation.series ?? ''));
      return timed(() => this.pool.analyse({ series, settings }));
    });
    if (!done) return undefined;
    const { result, summary, profile } = done.outcome;
    const computeMs = before.computeMs + done.computeMs;
    const { drawing: progress } = progressOf;
    const step = {
      state: 'drawing',
      progress,
      begins: 'first',
      result,
      summary,
      profile,
      computeMs,
    } as const;
    return { outcome: result, computeMs, moved: this.#move(id, ['analysing'], step) };
  }

  async #draw(computation: Computation, before: Left<AnalysisResult | null>): Promise<void> {
    await this.#mayGoOn(before);
    const { outcome: result } = before;
    const { id, invented } = computation;
    const done = await meanwhile(before.moved, async () => {
      if (!result) throw new Error('An analysis that is to be drawn has no result.');
      const title = await this.#titleOf(id);
      const provenance = provenanceOf(computation);
      const drawn = await timed(() => this.pool.draw({ result, title, invented, provenance }));
      return { ...drawn, figures: await keepFigures(this.config.blobs, drawn.outcome) };
    });
    if (!done) return;
    const { figures } = done;
    const computeMs = before.computeMs + done.computeMs;
    await change(this.config.database, theHouse, async (made) => {
      const last = { state: 'done', progress: 1, figures, computeMs } as const;
      if (!(await stepComputation(made, id, ['drawing'], last))) return;
      await archiveComputation(made, id);
      await tellMissingData(made, id);
    });
  }

  /** @throws LeftOff once the row says how far it is */
  async #mayGoOn({ moved }: Omit<Left<unknown>, 'outcome'>): Promise<void> {
    if (!this.#leavingOff) return;
    await moved;
    throw new LeftOff('The worker stops; the rest is for another.');
  }

  #move(id: string, from: readonly Computation['state'][], step: ComputationStep): Promise<boolean> {
    return change(this.config.database, theHouse, (made) => stepComputation(made, id, from, step));
  }

  async #titleOf(computationId: string): Promise<string> {
    const analysis = await this.config.database.prisma.analysis.findFirst({
      where: { computationId },
      orderBy: { createdAt: 'asc' },
      select: { set: { select: { unit: { select: { name: true } } } } },
    });
    return analysis?.set.unit.name ?? 'Measurement';
  }
}

async function timed<T>(work: () => Promise<T>): Promise<{ outcome: T; computeMs: number }> {
  const started = performance.now();
  const outcome = await work();
  return { outcome, computeMs: performance.now() - started };
}

/**
 * Both at once, and both ended before anything goes on.
 *
 * @returns undefined when the row was not moved on: it is another run's by now, or was set aside, and what came of the
 *   work counts for nothing
 */
async function meanwhile<T>(moved: Promise<boolean>, work: () => Promise<T>): Promise<T | undefined> {
  const [row, outcome] = await Promise.allSettled([moved, work()]);
  if (row.status === 'rejected') throw row.reason;
  if (!row.value) return undefined;
  if (outcome.status === 'rejected') throw outcome.reason;
  return outcome.value;
}
