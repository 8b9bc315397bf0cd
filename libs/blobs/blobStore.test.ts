/** One suite, run against every back end; S3 by a real server of that protocol. */
import { createHash, randomBytes } from 'node:crypto';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import S3rver from 's3rver';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BlobMissing, folderBlobStore, type BlobStore } from './blobStore.js';
import { openS3BlobStore, StorageRefused } from './s3BlobStore.js';

const nothing = 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855';

describe.each(['folder', 's3'] as const)('files in a %s', (kind) => {
  let folder: string;
  let blobs: BlobStore;
  let server: S3rver | undefined;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-blobs-'));
    if (kind === 'folder') {
      blobs = folderBlobStore(folder);
      return;
    }
    server = new S3rver({ port: 0, address: '127.0.0.1', directory: folder, silent: true });
    const { port } = (await server.run()) as AddressInfo;
    const endpoint = `http://127.0.0.1:${port}`;
    // The server's one built-in account.
    blobs = await openS3BlobStore({ endpoint, bucket: 'sojourn', key: 'S3RVER', secret: 'S3RVER' });
  });
  afterAll(async () => {
    await server?.close();
    await rm(folder, { recursive: true, force: true });
  });

  it('keeps bytes under the hash of their content and gives them back', async () => {
    const bytes = randomBytes(300_000);
    const kept = await blobs.keep(Readable.from([bytes.subarray(0, 1000), bytes.subarray(1000)]));
    expect(kept).toEqual({ sha256: createHash('sha256').update(bytes).digest('hex'), bytes: bytes.length });
    expect((await blobs.read(kept.sha256)).equals(bytes)).toBe(true);
    expect((await buffer(await blobs.stream(kept.sha256))).equals(bytes)).toBe(true);
  });

  it('keeps the same bytes once, also when they come twice at once', async () => {
    const bytes = randomBytes(10_000);
    const [one, two] = await Promise.all([blobs.keep(bytes), blobs.keep(bytes)]);
    expect(one).toEqual(two);
    const left = (await readdir(folder)).filter((name) => name.startsWith('arriving'));
    expect(left).toEqual([]);
  });

  it('keeps an empty file', async () => {
    expect(await blobs.keep(new Uint8Array())).toEqual({ sha256: nothing, bytes: 0 });
    expect(await blobs.has(nothing)).toBe(true);
  });

  it('says when a file is missing and takes nothing but a hash for an address', async () => {
    const missing = '0'.repeat(64);
    expect(await blobs.has(missing)).toBe(false);
    await expect(blobs.read(missing)).rejects.toThrow(BlobMissing);
    await expect(blobs.stream(missing)).rejects.toThrow(BlobMissing);
    await expect(blobs.read('../../secrets.json')).rejects.toThrow(BlobMissing);
  });

  it('leaves nothing behind when a source breaks off', async () => {
    const source = Readable.from(
      (async function* () {
        yield Buffer.from('half');
        await Promise.resolve();
        throw new Error('the line went dead');
      })(),
    );
    await expect(blobs.keep(source)).rejects.toThrow('the line went dead');
    expect(await blobs.has(createHash('sha256').update('half').digest('hex'))).toBe(false);
  });
});

it('says what the storage said when it refuses', async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-blobs-'));
  const server = new S3rver({ port: 0, address: '127.0.0.1', directory: folder, silent: true });
  const { port } = (await server.run()) as AddressInfo;
  const endpoint = `http://127.0.0.1:${port}`;
  const wrong = openS3BlobStore({ endpoint, bucket: 'sojourn', key: 'NOBODY', secret: 'S3RVER' });
  await expect(wrong).rejects.toThrow(StorageRefused);
  await server.close();
  await rm(folder, { recursive: true, force: true });
});
