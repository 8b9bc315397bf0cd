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
  /** Whose caches may keep it, and how long; nobody's when absent. */
  readonly cacheControl?: string;
}

/** @param known the tags of what the asker holds already: then only that it still stands is said */
export async function sendBlob(
  reply: FastifyReply,
  blobs: BlobStore,
  blob: SentBlob,
  known?: string,
): Promise<void> {
  if (known?.includes(`"${blob.sha256}"`)) {
    await asFile(reply, blob).status(304).header('etag', `"${blob.sha256}"`).send();
    return;
  }
  const stream = await blobs.stream(blob.sha256);
  await asFile(reply, blob).header('etag', `"${blob.sha256}"`).send(stream);
}

/** The same for what is made while it is asked for. */
export async function sendMade(
  reply: FastifyReply,
  { content, ...file }: Omit<SentBlob, 'sha256'> & { readonly content: string | Buffer },
): Promise<void> {
  await asFile(reply, file).send(content);
}

function asFile(reply: FastifyReply, file: Omit<SentBlob, 'sha256'>): FastifyReply {
  const disposition = file.inline && showable.has(file.mediaType) ? 'inline' : 'attachment';
  return (
    reply
      .header('content-type', file.mediaType)
      .header(
        'content-disposition',
        `${disposition}; filename*=UTF-8''${encodeURIComponent(plainName(file.name))}`,
      )
      .header('x-content-type-options', 'nosniff')
      // An SVG opened by itself must not run or load anything.
      .header(
        'content-security-policy',
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox",
      )
      .header('cache-control', file.cacheControl ?? 'private, no-cache')
  );
}

const plainName = (name: string): string => name.split(/[\\/]/).at(-1) ?? 'file';
