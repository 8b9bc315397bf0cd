/**
 * A backup: every table from one snapshot of the database and every file its rows name, as one sealed ZIP, streamed
 * while the server runs. It appears under its name whole or not at all.
 */
import { createWriteStream } from 'node:fs';
import { access, mkdir, open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';
import type { BlobStore } from '../blobs/blobStore.js';
import { openSnapshot, type Snapshot } from '../store/index.js';
import { BackupRefused } from './backupRefused.js';
import { FORMAT_VERSION, MANIFEST, fileEntry, tableEntry, type Manifest } from './manifest.js';
import { Measured } from './measured.js';
import { OPEN_SEAL, Sealing } from './seal.js';

export interface BackupSource {
  readonly databaseUrl: string;
  readonly blobs: BlobStore;
  /** The version that makes it. */
  readonly application: string;
}

export interface BackupMade {
  readonly file: string;
  readonly bytes: number;
  readonly rows: number;
  readonly manifest: Manifest;
}

const CONTENT_HASH = /(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])/g;

/** @param leaving breaks it off: nothing of it stays */
export async function makeBackup(
  source: BackupSource,
  file: string,
  leaving?: AbortSignal,
): Promise<BackupMade> {
  if (await isThere(file))
    throw new BackupRefused(
      `${file} is there already; choose another name, so that no backup is overwritten.`,
    );
  await mkdir(path.dirname(path.resolve(file)), { recursive: true, mode: 0o700 });
  const writing = `${file}.part`;
  const snapshot = await openSnapshot(source.databaseUrl);
  const zip = new ZipFile();
  const sealed = new Sealing();
  try {
    const saved = pipeline(
      zip.outputStream,
      sealed,
      createWriteStream(writing, { flags: 'w', mode: 0o600 }),
      { signal: leaving },
    );
    const manifest = await Promise.race([
      fill(zip, snapshot, source, leaving),
      saved.then(() => Promise.reject(new Error('The archive ended early.'))),
    ]);
    await saved;
    await onDisk(writing);
    await rename(writing, file);
    const bytes = await sizeOf(file);
    return { file, bytes, rows: manifest.tables.reduce((sum, { rows }) => sum + rows, 0), manifest };
  } finally {
    sealed.destroy();
    if (leaving?.aborted) snapshot.drop();
    else await snapshot.close();
    await rm(writing, { force: true });
  }
}

async function fill(
  zip: ZipFile,
  snapshot: Snapshot,
  source: BackupSource,
  leaving: AbortSignal | undefined,
): Promise<Manifest> {
  const named = new Set<string>();
  const look = (chunk: Buffer) => {
    for (const [hash] of chunk.toString('latin1').matchAll(CONTENT_HASH)) named.add(hash);
  };
  const tables: Manifest['tables'] = [];
  for (const table of snapshot.tables) {
    const rows = snapshot.copyOut(table);
    const measured = await addEntry(zip, tableEntry(table.name), rows, leaving, look);
    tables.push({ ...table, columns: [...table.columns], rows: rows.rows, ...measured });
  }
  const { files, missing } = await addFiles(zip, snapshot, source.blobs, named, leaving);
  const manifest: Manifest = {
    format: 'sojourn-backup',
    formatVersion: FORMAT_VERSION,
    application: source.application,
    madeAt: new Date().toISOString(),
    teamName: await snapshot.teamName(),
    history: await snapshot.historyHead(),
    migrations: [...snapshot.migrations],
    sequences: { ...snapshot.sequences },
    tables,
    files,
    missing,
  };
  zip.addBuffer(Buffer.from(JSON.stringify(manifest)), MANIFEST);
  // Settled by the caller's `saved`.
  zip.end({ comment: OPEN_SEAL, forceZip64Format: false });
  return manifest;
}

/** Every file a row names is kept, whichever column names it; those the store should have and has not are told. */
async function addFiles(
  zip: ZipFile,
  snapshot: Snapshot,
  blobs: BlobStore,
  named: ReadonlySet<string>,
  leaving: AbortSignal | undefined,
) {
  const kept = new Set(await snapshot.keptFiles());
  const files: Manifest['files'] = [];
  const missing: string[] = [];
  for (const sha256 of [...new Set([...kept, ...named])].sort()) {
    if (await blobs.has(sha256)) {
      const measured = await addEntry(zip, fileEntry(sha256), await blobs.stream(sha256), leaving);
      if (measured.sha256 !== sha256) {
        throw new BackupRefused(
          `The stored file ${sha256.slice(0, 12)} no longer has the content it was kept with. ` +
            'Check the disk; put the file back from an earlier backup, then make this one again.',
        );
      }
      files.push({ sha256, bytes: measured.bytes });
    } else if (kept.has(sha256)) missing.push(sha256);
  }
  return { files, missing };
}

/** Adds one entry and waits until all of it has gone through, so that one source is open at a time. */
async function addEntry(
  zip: ZipFile,
  name: string,
  source: Readable,
  leaving: AbortSignal | undefined,
  look?: (chunk: Buffer) => void,
): Promise<{ bytes: number; sha256: string }> {
  const measured = new Measured(look);
  zip.addReadStream(measured, name, { compress: true, compressionLevel: 3 });
  await pipeline(source, measured, { signal: leaving });
  return { bytes: measured.bytes, sha256: measured.sha256() };
}

async function onDisk(file: string): Promise<void> {
  const handle = await open(file, 'r+');
  await handle.sync();
  await handle.close();
}

async function sizeOf(file: string): Promise<number> {
  const handle = await open(file);
  try {
    return (await handle.stat()).size;
  } finally {
    await handle.close();
  }
}

const isThere = (file: string): Promise<boolean> =>
  access(file).then(
    () => true,
    () => false,
  );
