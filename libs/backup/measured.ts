import { createHash } from 'node:crypto';
import { Transform, type TransformCallback } from 'node:stream';

/** Passes bytes on and keeps their count and SHA-256. */
export class Measured extends Transform {
  bytes = 0;
  readonly #hash = createHash('sha256');

  constructor(private readonly look?: (chunk: Buffer) => void) {
    super();
  }

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    this.bytes += chunk.length;
    this.#hash.update(chunk);
    this.look?.(chunk);
    done(null, chunk);
  }

  sha256(): string {
    return this.#hash.digest('hex');
  }
}
