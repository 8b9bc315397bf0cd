/** The job: an export's files into one ZIP, streamed into the store; run twice, it is kept once. */
import { PassThrough, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';
import { BlobMissing, type BlobStore } from '../blobs/blobStore.js';
import { EXPORT_DAYS } from '../contracts/index.js';
import { change, keyOfHash, sealedFrom, theHouse, type Database } from '../store/index.js';
import type { ExportEntry } from './exportEntry.js';
import { ownExport } from './ownExport.js';
import { teamExport } from './teamExport.js';

const Day = 24 * 3600_000;

export interface ExportWorld {
  readonly database: Database;
  readonly blobs: BlobStore;
  /** Breaks off what is being made; the job is done again from its beginning. */
  readonly leaving?: AbortSignal;
}

export async function makeExport({ database, blobs, leaving }: ExportWorld, id: string): Promise<void> {
  const { prisma } = database;
  const asked = await prisma.accountExport.findUnique({ where: { id } });
  if (asked?.state !== 'running') return;
  // Somebody who began to listen blind meanwhile would find the results in it.
  if (asked.scope === 'team' && (await sealedFrom(prisma, asked.accountId)).units.size > 0) {
    const reason = 'You are listening blind: seal your session first, then ask again.';
    await endExport(database, id, { reason });
    return;
  }
  const entries = asked.scope === 'team' ? teamExport(database) : ownExport(database, asked.accountId);
  const { sha256, bytes } = await zipInto(blobs, entries, leaving);
  await endExport(database, id, { fileKey: keyOfHash(sha256), bytes: BigInt(bytes) });
}

/** It could not be made however often it was tried. */
export async function giveUpExport(database: Database, id: string, reason: string): Promise<void> {
  await endExport(database, id, { reason: reason.slice(0, 1000) });
}

async function endExport(
  database: Database,
  id: string,
  end: { fileKey: string; bytes: bigint } | { reason: string },
): Promise<void> {
  const now = new Date();
  await change(database, theHouse, async (made) => {
    const ended = await made.tx.accountExport.updateManyAndReturn({
      where: { id, state: 'running' },
      data: {
        ...end,
        state: 'reason' in end ? 'failed' : 'done',
        progress: 1,
        finishedAt: now,
        expiresAt: new Date(now.getTime() + EXPORT_DAYS * Day),
      },
    });
    for (const { accountId } of ended) made.publish(`person:${accountId}`, 'export-changed', { id });
  });
}

/** One source is open at a time, so that an archive of any size needs little memory. */
async function zipInto(
  blobs: BlobStore,
  entries: AsyncIterable<ExportEntry>,
  leaving: AbortSignal | undefined,
) {
  const zip = new ZipFile();
  const through = new PassThrough();
  const kept = Promise.all([blobs.keep(through), pipeline(zip.outputStream, through)]);
  const filled = fill(zip, blobs, entries, leaving);
  // Whichever fails first ends the other.
  filled.catch((error: Error) => through.destroy(error));
  const [[blob]] = await Promise.all([kept, filled]);
  return blob;
}

async function fill(
  zip: ZipFile,
  blobs: BlobStore,
  entries: AsyncIterable<ExportEntry>,
  leaving: AbortSignal | undefined,
): Promise<void> {
  const taken = new Set<string>();
  const missing: string[] = [];
  for await (const entry of entries) {
    leaving?.throwIfAborted();
    const path = freePath(taken, entry.path);
    if ('text' in entry) zip.addBuffer(Buffer.from(entry.text), path);
    else {
      const bytes = await streamOf(blobs, entry.sha256);
      if (bytes) await addStream(zip, bytes, path, leaving);
      else missing.push(`${path}\n`);
    }
  }
  if (missing.length > 0) zip.addBuffer(Buffer.from(missing.join('')), 'missing from the store.txt');
  zip.end();
}

/** A file that the store lost fails no export: it is named in it. */
async function streamOf(blobs: BlobStore, sha256: string): Promise<Readable | undefined> {
  try {
    return await blobs.stream(sha256);
  } catch (error) {
    if (error instanceof BlobMissing) return undefined;
    throw error;
  }
}

async function addStream(
  zip: ZipFile,
  source: Readable,
  path: string,
  leaving: AbortSignal | undefined,
): Promise<void> {
  const entry = new PassThrough();
  zip.addReadStream(entry, path);
  await pipeline(source, entry, { signal: leaving });
}

/** Two things of one name stand beside each other. */
function freePath(taken: Set<string>, wanted: string): string {
  let path = wanted;
  for (let at = 2; taken.has(path.toLowerCase()); at += 1)
    path = wanted.replace(/(\.[^./]*)?$/, ` (${at})$1`);
  taken.add(path.toLowerCase());
  return path;
}
