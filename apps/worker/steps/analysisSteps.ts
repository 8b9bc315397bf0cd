/**
 * The three steps of an analysis: files to series, series to numbers, numbers to figures. Each loads, computes
 * and saves with its feed event in one transaction, which also asks for the next step; run twice, it saves once.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { AnalysisResult, AnalysisSettings } from '../../../libs/acoustics/analysis.js';
import type { RunningJob } from '../../../libs/jobs/queues.js';
import {
  archiveComputation,
  change,
  stepComputation,
  theHouse,
  type Change,
  type ComputationInput,
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
  readonly state: string;
  readonly algorithmVersion: string;
  readonly computeMs: number | null;
  readonly turn: number;
}

/** While which a step is wanted. */
const statesOf: Readonly<Record<StepJob['name'], readonly string[]>> = {
  'read-set': ['queued', 'reading'],
  'analyse-set': ['analysing'],
  'draw-figures': ['drawing'],
};

type StepJob = RunningJob<'read-set' | 'analyse-set' | 'draw-figures'>;

@Injectable()
export class AnalysisSteps {
  constructor(
    @Inject(CONFIG) private readonly config: WorkerConfig,
    @Inject(COMPUTE_POOL) private readonly pool: ComputePool,
  ) {}

  async read(job: RunningJob<'read-set'>): Promise<void> {
    const computation = await this.#take(job, 'queued', 'reading', 0.05);
    if (!computation) return;
    const entries = await loadEntries(this.config.blobs, computation.inputs);
    const started = performance.now();
    const { series, problems } = await this.pool.read({ entries });
    const computeMs = performance.now() - started;
    const kept = series ? await this.config.blobs.keep(series) : undefined;
    await this.#save(job, async (made) => {
      if (!kept) {
        const reason = `${problems.length} problem${problems.length === 1 ? '' : 's'} in the files; see the list.`;
        return stepComputation(made, computation.id, { state: 'refused', progress: 1, reason, problems });
      }
      made.request(
        'analyse-set',
        nextId(job, 'analyse'),
        { computationId: computation.id },
        computation.turn,
      );
      return stepComputation(made, computation.id, {
        state: 'analysing',
        progress: 0.3,
        series: kept.sha256,
        computeMs,
      });
    });
  }

  async analyse(job: RunningJob<'analyse-set'>): Promise<void> {
    const computation = await this.#take(job, 'analysing', 'analysing', 0.4);
    if (!computation?.series) return;
    const series = await this.config.blobs.read(computation.series);
    const started = performance.now();
    const { result, summary, profile } = await this.pool.analyse({ series, settings: computation.settings });
    const computeMs = (computation.computeMs ?? 0) + performance.now() - started;
    await this.#save(job, async (made) => {
      made.request('draw-figures', nextId(job, 'draw'), { computationId: computation.id }, computation.turn);
      await stepComputation(made, computation.id, {
        state: 'drawing',
        progress: 0.7,
        result,
        summary,
        profile,
        computeMs,
      });
    });
  }

  async draw(job: RunningJob<'draw-figures'>): Promise<void> {
    const computation = await this.#take(job, 'drawing', 'drawing', 0.75);
    if (!computation?.result) return;
    const title = await this.#titleOf(computation.id);
    const { result, invented } = computation;
    const provenance = provenanceOf(computation);
    const started = performance.now();
    const drawn = await this.pool.draw({ result, title, invented, provenance });
    const computeMs = (computation.computeMs ?? 0) + performance.now() - started;
    const figures = await keepFigures(this.config.blobs, drawn);
    await this.#save(job, async (made) => {
      await stepComputation(made, computation.id, { state: 'done', progress: 1, figures, computeMs });
      await archiveComputation(made, computation.id);
      await tellMissingData(made, computation.id);
    });
  }

  /** Where people see it, with a way to try again; not when another step of it, or a later try, is at work. */
  async setAside(job: StepJob, reason: string): Promise<void> {
    const { computationId } = job.payload;
    await change(this.config.database, theHouse, async (made) => {
      const found = await made.tx.computation.findUnique({ where: { id: computationId } });
      if (found && statesOf[job.name].includes(found.state))
        await stepComputation(made, computationId, { state: 'quarantined', progress: 1, reason });
    });
  }

  /** The computation, if this step is still wanted; dashboards hear that it began. */
  async #take(job: StepJob, from: string, to: 'reading' | 'analysing' | 'drawing', progress: number) {
    const { computationId } = job.payload;
    return change(this.config.database, theHouse, async (made): Promise<Computation | undefined> => {
      const found = await made.tx.computation.findUnique({ where: { id: computationId } });
      if (!found || ![from, to].includes(found.state)) return undefined;
      await stepComputation(made, computationId, { state: to, progress, taken: true });
      return found as unknown as Computation;
    });
  }

  async #save(job: StepJob, work: (made: Change) => Promise<void>): Promise<void> {
    await change(this.config.database, theHouse, async (made) => {
      if (await made.once(`${job.name}:${job.id}`)) await work(made);
    });
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

/** `read-KEY-again-1` leads to `analyse-KEY-again-1`: a retried chain has ids of its own. */
function nextId(job: StepJob, step: string): string {
  return job.id.replace(/^[a-z]+-/, `${step}-`);
}
