/**
 * How many uploads one server takes at a time, and when it takes none. Whoever is told to come later has sent nothing
 * yet, and programs that send files come again by themselves after the time named.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import { Refused } from '../http/refusals.js';
import { diskOf } from '../operations/storageFigures.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const COME_AGAIN_S = 5;
/** Left for the database and for what is at work. */
const KEEP_FREE_BYTES = 256 * 1024 * 1024;

@Injectable()
export class UploadGate {
  #open = 0;

  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /** @throws Refused (503), before anything of the body is read */
  async pass<T>(reply: FastifyReply, work: () => Promise<T>): Promise<T> {
    const { uploadsAtOnce, uploadsFolder } = this.config;
    if (this.#open >= uploadsAtOnce) {
      throw this.#putOff(
        reply,
        'uploads-busy',
        'Many files are arriving just now.',
        'Send it again in a moment.',
      );
    }
    this.#open++;
    try {
      const disk = await diskOf(uploadsFolder);
      if (disk && disk.free < KEEP_FREE_BYTES) {
        const remedy = 'Whoever keeps the server has to make room; nothing of yours was taken.';
        throw this.#putOff(reply, 'disk-full', 'The server’s disk is full.', remedy);
      }
      return await work();
    } finally {
      this.#open--;
    }
  }

  #putOff(reply: FastifyReply, code: string, message: string, remedy: string): Refused {
    this.config.metrics.uploadPutOff();
    // What is on its way is not waited for.
    void reply.header('connection', 'close');
    return new Refused(503, { code, message, remedy }, COME_AGAIN_S);
  }
}
