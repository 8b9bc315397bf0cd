/** A review as files: one HTML page with everything in it, or Markdown with its figures beside it. */
import { Inject, Injectable } from '@nestjs/common';
import { ZipFile } from 'yazl';
import type { Review } from '../../../libs/drafts/review.js';
import { writeHtml } from '../../../libs/drafts/writeHtml.js';
import { writeMarkdown } from '../../../libs/drafts/writeMarkdown.js';
import { noteOpenings } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadReview } from './reviewMaterial.js';

export interface ExportedReview {
  readonly name: string;
  readonly mediaType: string;
  readonly content: string | Buffer;
}

@Injectable()
export class Exports {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async html(loanId: string, by: SignedIn): Promise<ExportedReview> {
    const review = await this.#review(loanId, by);
    return {
      name: `${fileName(review)}.html`,
      mediaType: 'text/html; charset=utf-8',
      content: writeHtml(review),
    };
  }

  async markdown(loanId: string, by: SignedIn): Promise<ExportedReview> {
    const review = await this.#review(loanId, by);
    const { markdown, files } = writeMarkdown(review);
    const content = await zipOf([{ path: 'review.md', content: markdown }, ...files]);
    return { name: `${fileName(review)}.zip`, mediaType: 'application/zip', content };
  }

  async #review(loanId: string, by: SignedIn): Promise<Review> {
    const { database, blobs } = this.config;
    const review = await loadReview(database.prisma, blobs, loanId);
    const units = await database.prisma.unit.findMany({
      where: { loanId, sets: { some: { analyses: { some: { computation: { state: 'done' } } } } } },
      select: { id: true },
    });
    await noteOpenings(
      database,
      units.map(({ id }) => id),
      by.id,
    );
    return review;
  }
}

const fileName = ({ title }: Review): string =>
  title
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '') || 'review';

async function zipOf(files: readonly { path: string; content: string }[]): Promise<Buffer> {
  const zip = new ZipFile();
  for (const { path, content } of files) zip.addBuffer(Buffer.from(content, 'utf8'), path);
  zip.end();
  const chunks: Buffer[] = [];
  for await (const chunk of zip.outputStream) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}
