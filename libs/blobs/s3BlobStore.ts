/** Files by the hash of their content in S3-compatible storage, for installations of several machines. */
import { createHash } from 'node:crypto';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { AwsClient } from 'aws4fetch';
import { BlobMissing, isContentHash, type BlobStore } from './blobStore.js';

export interface S3Place {
  /** Such as `http://storage:9000`; the bucket is addressed by path. */
  readonly endpoint: string;
  readonly bucket: string;
  readonly key: string;
  readonly secret: string;
  readonly region?: string | undefined;
}

/** Bytes that come again are sent again after this time, so that their date says so. */
const FRESH_MS = 10 * 60_000;

export class StorageRefused extends Error {
  readonly code = 'storage-refused';
}

/** Makes the bucket if it is not there. @throws StorageRefused when the storage says no, with its words */
export async function openS3BlobStore(place: S3Place): Promise<BlobStore> {
  const client = new AwsClient({
    accessKeyId: place.key,
    secretAccessKey: place.secret,
    service: 's3',
    region: place.region ?? 'us-east-1',
  });
  const base = `${place.endpoint.replace(/\/$/, '')}/${place.bucket}`;
  const addressOf = (sha256: string): string => {
    if (!isContentHash(sha256)) throw new BlobMissing(`Not a content hash: ${sha256.slice(0, 80)}`);
    return `${base}/${sha256.slice(0, 2)}/${sha256}`;
  };
  const made = await client.fetch(base, { method: 'PUT' });
  // 409: it is there already.
  if (!made.ok && made.status !== 409) await refuse(made, `make the bucket ${place.bucket}`);

  const get = async (sha256: string): Promise<Response> => {
    const answer = await client.fetch(addressOf(sha256));
    if (answer.status === 404)
      throw new BlobMissing(`The stored file ${sha256.slice(0, 12)} is missing from the storage.`);
    if (!answer.ok) await refuse(answer, 'read a file');
    return answer;
  };
  const cameAt = async (sha256: string): Promise<Date | undefined> => {
    const answer = await client.fetch(addressOf(sha256), { method: 'HEAD' });
    if (answer.status === 404) return undefined;
    if (!answer.ok) await refuse(answer, 'look for a file');
    return new Date(answer.headers.get('last-modified') ?? Date.now());
  };
  return {
    has: async (sha256) => (await cameAt(sha256)) !== undefined,
    // The protocol has no removing on a condition: between looking and removing lie some milliseconds.
    remove: async (sha256, before) => {
      const came = await cameAt(sha256);
      if (came === undefined) return true;
      if (came > before) return false;
      const answer = await client.fetch(addressOf(sha256), { method: 'DELETE' });
      if (!answer.ok && answer.status !== 404) await refuse(answer, 'remove a file');
      return true;
    },
    read: async (sha256) => Buffer.from(await (await get(sha256)).arrayBuffer()),
    stream: async (sha256) => Readable.from((await get(sha256)).body ?? []),
    keep: async (source) => {
      // Held in memory: one measurement file is bounded, and its hash must be known before its address is.
      const bytes = source instanceof Uint8Array ? Buffer.from(source) : await buffer(source);
      const sha256 = createHash('sha256').update(bytes).digest('hex');
      const came = await cameAt(sha256);
      if (!came || Date.now() - came.getTime() > FRESH_MS) {
        const answer = await client.fetch(addressOf(sha256), { method: 'PUT', body: bytes });
        if (!answer.ok) await refuse(answer, 'keep a file');
      }
      return { sha256, bytes: bytes.length };
    },
  };
}

async function refuse(answer: Response, doing: string): Promise<never> {
  const words = /<Message>([^<]*)<\/Message>/.exec(await answer.text().catch(() => ''))?.[1] ?? '';
  throw new StorageRefused(`The storage would not ${doing}: ${answer.status} ${words}`.trim());
}
