/** Builds bundles, lets releases out, and writes what is out to the team's folder. */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Inject, Injectable } from '@nestjs/common';
import type { RunningJob } from '../../../libs/jobs/queues.js';
import { buildBundle, slugsOf } from '../../../libs/publication/buildBundle.js';
import { placeBundle } from '../../../libs/publication/placeBundle.js';
import type { PageAssets } from '../../../libs/publication/reviewPage.js';
import {
  bundleProgress,
  change,
  failBundle,
  keepBundle,
  reviewSource,
  reviewVersions,
  tellPublication,
  theHouse,
} from '../../../libs/store/index.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';

@Injectable()
export class Publishing {
  #assets: Promise<PageAssets> | undefined;

  constructor(@Inject(CONFIG) private readonly config: WorkerConfig) {}

  async build(job: RunningJob<'build-bundle'>): Promise<void> {
    const { publicationId: id } = job.payload;
    const { database, blobs } = this.config;
    const progress = (done: number) => change(database, theHouse, (made) => bundleProgress(made, id, done));
    if (!(await progress(0.05))) return;
    const source = await database.prisma.$transaction((tx) => reviewSource(tx, id), {
      isolationLevel: 'RepeatableRead',
    });
    const { zip, built } = await buildBundle(
      source,
      (sha256) => blobs.read(sha256),
      await this.#pageAssets(),
      async (done) => void (await progress(done)),
    );
    const kept = await blobs.keep(zip);
    await change(database, theHouse, (made) =>
      keepBundle(made, id, { ...built, ...kept }, new Date(), this.config.messages.publicUrl),
    );
  }

  async setAside({ payload }: RunningJob<'build-bundle'>, reason: string): Promise<void> {
    await change(this.config.database, theHouse, (made) =>
      failBundle(made, payload.publicationId, `The bundle could not be built. ${reason}`),
    );
  }

  /** Nothing to do without a folder; a folder that cannot be written is said where the review is published. */
  async place(job: RunningJob<'place-bundle'>): Promise<void> {
    const { database, publishFolder } = this.config;
    if (publishFolder === undefined) return;
    const { publicationId: id } = job.payload;
    const publication = await database.prisma.publication.findUnique({ where: { id } });
    if (!publication?.bundle || publication.number === null) return;
    await placeBundle({
      folder: publishFolder,
      slug: await this.#slugOf(publication.loanId),
      title: publication.title,
      number: publication.number,
      zip: await this.config.blobs.read(publication.bundle),
      versions: await reviewVersions(database.prisma, publication.loanId),
    });
    await this.#placed(id, null);
  }

  async setPlacingAside({ payload }: RunningJob<'place-bundle'>, reason: string): Promise<void> {
    await this.#placed(payload.publicationId, reason);
  }

  #placed(id: string, fault: string | null): Promise<void> {
    return change(this.config.database, theHouse, async (made) => {
      const data = fault === null ? { placedAt: new Date(), placeFault: null } : { placeFault: fault };
      await made.tx.publication.update({ where: { id }, data });
      await tellPublication(
        made,
        id,
        fault === null ? 'wrote the bundle to the folder' : 'could not write the bundle',
      );
    });
  }

  /** By the title the review came out with first, so that its folder stays when a correction changes the title. */
  async #slugOf(loanId: string): Promise<string> {
    const first = await this.config.database.prisma.publication.findFirst({
      where: { loanId, number: 1 },
      select: { title: true },
    });
    const [slug = 'review'] = slugsOf([first?.title ?? '']);
    return `${slug}-${loanId.slice(-6)}`;
  }

  #pageAssets(): Promise<PageAssets> {
    this.#assets ??= (async () => {
      const read = (file: string) => readFile(path.join(this.config.reviewPageFolder, file), 'utf8');
      return { script: await read('page.js'), style: await read('page.css') };
    })();
    return this.#assets;
  }
}
