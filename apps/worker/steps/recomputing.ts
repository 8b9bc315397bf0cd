/**
 * One set of a campaign: its files through today's algorithm, from reading to figures. Nothing is written until all
 * of it is there, so a kill, a failure or a cancelled campaign leaves the earlier result as it was.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { RunningJob } from '../../../libs/jobs/queues.js';
import {
  campaignItem,
  change,
  endCampaignItem,
  keepRecomputed,
  resumeCampaigns,
  theHouse,
  type OutdatedResult,
  type RecomputedResult,
} from '../../../libs/store/index.js';
import { CAMPAIGN_POOL } from '../tokens.js';
import type { ComputePool } from '../threads/computePool.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';
import { keepFigures, loadEntries, provenanceOf } from './files.js';
import { tellMissingData } from './tellMissingData.js';

/** The earlier result stays, and nobody has to try again: today's reader does not take the files. */
class NotReadable extends Error {}

@Injectable()
export class Recomputing {
  constructor(
    @Inject(CONFIG) private readonly config: WorkerConfig,
    @Inject(CAMPAIGN_POOL) private readonly pool: ComputePool,
  ) {}

  /** Goes on with what a killed worker left, without waiting for the queue to notice. */
  async resume(): Promise<void> {
    await change(this.config.database, theHouse, (made) => resumeCampaigns(made, Date.now()));
  }

  async recompute(job: RunningJob<'recompute-set'>): Promise<void> {
    const { database } = this.config;
    const item = await campaignItem(database.prisma, job.payload);
    if (!item) return;
    try {
      const computed = item.answered ? undefined : await this.#compute(item);
      await change(database, theHouse, (made) =>
        keepRecomputed(made, item, computed, (computationId) => tellMissingData(made, computationId)),
      );
    } catch (error) {
      if (!(error instanceof NotReadable)) throw error;
      await this.setAside(job, error.message.slice(0, 1000));
    }
  }

  /** The campaign goes on with the next; the set keeps its earlier result. */
  async setAside({ payload }: RunningJob<'recompute-set'>, reason: string): Promise<void> {
    await change(this.config.database, theHouse, (made) =>
      endCampaignItem(made, payload, { state: 'failed', reason }),
    );
  }

  async #compute(item: OutdatedResult): Promise<RecomputedResult> {
    const { blobs } = this.config;
    const started = performance.now();
    const { series, problems } = await this.pool.read({ entries: await loadEntries(blobs, item.inputs) });
    if (!series) {
      const [first] = problems;
      throw new NotReadable(first ? `${first.file}: ${first.message}` : 'The files could not be read.');
    }
    const { result, summary, profile } = await this.pool.analyse({ series, settings: item.settings });
    if (result.algorithmVersion !== item.algorithmVersion) {
      throw new Error(
        `This worker computes by version ${result.algorithmVersion}, the campaign asks for ${item.algorithmVersion}. Start every worker with the server's version.`,
      );
    }
    const provenance = provenanceOf({ ...item, id: item.computationId });
    const drawn = await this.pool.draw({ result, title: item.unitName, invented: item.invented, provenance });
    const computeMs = performance.now() - started;
    const { sha256 } = await blobs.keep(series);
    return { series: sha256, result, summary, profile, figures: await keepFigures(blobs, drawn), computeMs };
  }
}
