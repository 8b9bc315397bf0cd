/** Bytes out of the house: never sniffed, never run, named as they came. */
import type { FastifyReply } from 'fastify';
import type { BlobStore } from '../../../libs/blobs/blobStore.js';

/** Only these may be shown by a browser; all else is offered for saving. */
const showable = new Set(['image/png', 'image/jpeg', 'image/webp', 'image/svg+xml', 'application/json']);

export interface SentBlob {
  readonly sha256: string;
  readonly mediaType: string;
  readonly name: string;
  readonly inline: boolean;
}

export async function sendBlob(reply: FastifyReply, blobs: BlobStore, blob: SentBlob): Promise<void> {
  const disposition = blob.inline && showable.has(blob.mediaType) ? 'inline' : 'attachment';
  const stream = await blobs.stream(blob.sha256);
  await reply
    .header('content-type', blob.mediaType)
    .header(
      'content-disposition',
      `${disposition}; filename*=UTF-8''${encodeURIComponent(plainName(blob.name))}`,
    )
    .header('x-content-type-options', 'nosniff')
    // An SVG opened by itself must not run or load anything.
    .header(
      'content-security-policy',
      "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox",
    )
    .header('etag', `"${blob.sha256}"`)
    .header('cache-control', 'private, no-cache')
    .send(stream);
}

const plainName = (name: string): string => name.split(/[\\/]/).at(-1) ?? 'file';
