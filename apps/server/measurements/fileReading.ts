/** Reading what people upload happens in limited processes: a hostile file hurts neither the server nor other people. */
import { open, stat } from 'node:fs/promises';
import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import {
  openReadingPool,
  ReadingStopped,
  stoppedProblem,
  type ReadingPool,
  type ReadingTasks,
} from '../../../libs/file-reading/index.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const PROCESSES = 2;
/** An archive within the limits expands in seconds. */
const PATIENCE_MS = 60_000;
/** Cameras put previews and profiles before a JPEG's size. */
const PICTURE_HEAD_BYTES = 4 * 1024 * 1024;
/** Over any camera's; unpacked, one that says it is larger fills a phone's memory. Common practice, no source. */
const MOST_PIXELS = 200e6;
const MOST_SIDE_PX = 30_000;

@Injectable()
export class FileReading implements OnModuleDestroy {
  readonly #pool: ReadingPool;

  constructor(@Inject(CONFIG) config: ServerConfig) {
    const limits = { patienceMs: PATIENCE_MS, folders: [config.uploadsFolder] };
    this.#pool = openReadingPool(PROCESSES, limits);
  }

  async expand(file: string, name: string): Promise<ReadingTasks['expand-archive']['answer']> {
    try {
      return await this.#pool.run('expand-archive', { file, name });
    } catch (error) {
      if (!(error instanceof ReadingStopped)) throw error;
      return { entries: [], problems: [stoppedProblem(error, name)] };
    }
  }

  /** @throws Refused when it is no whole picture, or one too large to be shown */
  async insistOnPicture(file: string, name: string): Promise<void> {
    const { size } = await this.#pool.run('measure-picture', { head: await headOf(file) });
    if (!size || size.widthPx === 0 || size.heightPx === 0) {
      const remedy = 'Send a PNG, JPEG or WebP file as the camera made it.';
      throw refuse.wrong('picture-damaged', `${name} is damaged: it does not say how large it is.`, remedy);
    }
    const { widthPx, heightPx } = size;
    if (Math.max(widthPx, heightPx) > MOST_SIDE_PX || widthPx * heightPx > MOST_PIXELS) {
      throw refuse.wrong(
        'picture-too-large',
        `${name} says it has ${widthPx} × ${heightPx} pixels: more than any camera makes.`,
        'Send it as the camera made it, or smaller.',
      );
    }
  }

  async onModuleDestroy(): Promise<void> {
    await this.#pool.close();
  }
}

async function headOf(file: string): Promise<Uint8Array> {
  const { size } = await stat(file);
  const head = new Uint8Array(Math.min(size, PICTURE_HEAD_BYTES));
  const handle = await open(file, 'r');
  try {
    await handle.read(head, 0, head.length, 0);
    return head;
  } finally {
    await handle.close();
  }
}
