/** Files by the hash of their content: kept once, never changed. */
import { createHash, randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { access, mkdir, open, readFile, rename, rm, stat, utimes } from 'node:fs/promises';
import path from 'node:path';
import type { Readable } from 'node:stream';

export interface KeptBlob {
  readonly sha256: string;
  readonly bytes: number;
}

export interface BlobStore {
  /** Keeps a stream. Nothing is visible under its hash before all of it is on disk. */
  keep(source: Readable | Uint8Array): Promise<KeptBlob>;
  has(sha256: string): Promise<boolean>;
  read(sha256: string): Promise<Buffer>;
  stream(sha256: string): Promise<Readable>;
  /**
   * Takes a file away for good; keeping the same bytes again counts as their coming.
   * @returns false when it came after `before`, and stays; true when it is not there (any more)
   */
  remove(sha256: string, before: Date): Promise<boolean>;
}

export class BlobMissing extends Error {
  readonly code = 'blob-missing';
}

export const isContentHash = (text: string): boolean => /^[0-9a-f]{64}$/.test(text);

export function folderBlobStore(folder: string): BlobStore {
  const placeOf = (sha256: string) => {
    if (!isContentHash(sha256)) throw new BlobMissing(`Not a content hash: ${sha256.slice(0, 80)}`);
    return path.join(folder, sha256.slice(0, 2), sha256);
  };
  const has = (sha256: string) =>
    access(placeOf(sha256)).then(
      () => true,
      () => false,
    );
  const remove = async (sha256: string, before: Date): Promise<boolean> => {
    const place = placeOf(sha256);
    const came = await cameAt(place);
    if (came === undefined) return true;
    if (came > before) return false;
    // Set aside first: whoever keeps the same bytes from here on writes them anew.
    const leaving = path.join(folder, `leaving-${randomUUID()}`);
    await rename(place, leaving);
    const again = await cameAt(leaving);
    if (again !== undefined && again > before) {
      await rename(leaving, place);
      return false;
    }
    await rm(leaving, { force: true });
    return true;
  };
  return {
    has,
    remove,
    read: async (sha256) => orMissing(sha256, readFile(placeOf(sha256))),
    stream: async (sha256) => {
      await orMissing(sha256, stat(placeOf(sha256)));
      return createReadStream(placeOf(sha256));
    },
    keep: async (source) => {
      const arriving = path.join(folder, `arriving-${randomUUID()}`);
      await mkdir(folder, { recursive: true });
      try {
        const kept = await writeHashed(source, arriving);
        if (await comesAgain(placeOf(kept.sha256))) return kept;
        await mkdir(path.dirname(placeOf(kept.sha256)), { recursive: true });
        await rename(arriving, placeOf(kept.sha256));
        await syncFolder(path.dirname(placeOf(kept.sha256)));
        return kept;
      } finally {
        await rm(arriving, { force: true });
      }
    },
  };
}

async function cameAt(file: string): Promise<Date | undefined> {
  try {
    return (await stat(file)).mtime;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    return undefined;
  }
}

/** Marks a file that is there already as just come. @returns false when it is not there */
async function comesAgain(file: string): Promise<boolean> {
  const now = new Date();
  try {
    await utimes(file, now, now);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    return false;
  }
}

async function writeHashed(source: Readable | Uint8Array, file: string): Promise<KeptBlob> {
  const hash = createHash('sha256');
  let bytes = 0;
  const handle = await open(file, 'wx', 0o600);
  try {
    const chunks = (source instanceof Uint8Array ? [source] : source) as
      AsyncIterable<Uint8Array> | Uint8Array[];
    for await (const chunk of chunks) {
      hash.update(chunk);
      bytes += chunk.length;
      await handle.writeFile(chunk);
    }
    // On the disk before it is acknowledged: an accepted file survives a power cut.
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { sha256: hash.digest('hex'), bytes };
}

async function syncFolder(folder: string): Promise<void> {
  // Windows cannot open a folder to sync it.
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  await handle.sync();
  await handle.close();
}

async function orMissing<T>(sha256: string, work: Promise<T>): Promise<T> {
  try {
    return await work;
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'ENOENT') throw cause;
    throw new BlobMissing(`The stored file ${sha256.slice(0, 12)} is missing from the blobs folder.`, {
      cause,
    });
  }
}
