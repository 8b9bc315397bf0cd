/**
 * The seal of an archive: its last 64 characters (the ZIP's comment) are the SHA-256 of everything before them, so
 * that one changed byte anywhere, or a cut, shows before anything of it is used.
 */
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { Transform, type TransformCallback } from 'node:stream';

export const SEAL_LENGTH = 64;
export const OPEN_SEAL = '0'.repeat(SEAL_LENGTH);

/** Passes an archive on, and replaces its open seal at the end. */
export class Sealing extends Transform {
  readonly #hash = createHash('sha256');
  #held = Buffer.alloc(0);

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    const all = Buffer.concat([this.#held, chunk]);
    const sure = all.subarray(0, Math.max(0, all.length - SEAL_LENGTH));
    this.#held = all.subarray(sure.length);
    this.#hash.update(sure);
    done(null, sure);
  }

  override _flush(done: TransformCallback): void {
    if (this.#held.toString('latin1') !== OPEN_SEAL) done(new Error('The archive ended without its seal.'));
    else done(null, this.#hash.digest('hex'));
  }
}

export async function sealHolds(file: string): Promise<boolean> {
  const { size } = await stat(file);
  if (size <= SEAL_LENGTH) return false;
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(file, { end: size - SEAL_LENGTH - 1 }))
    hash.update(chunk as Buffer);
  const handle = await open(file);
  try {
    const seal = Buffer.alloc(SEAL_LENGTH);
    await handle.read(seal, 0, SEAL_LENGTH, size - SEAL_LENGTH);
    return seal.toString('latin1') === hash.digest('hex');
  } finally {
    await handle.close();
  }
}
