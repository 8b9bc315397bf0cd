/** A backup opened for reading: nothing of it is given out before every checksum holds. */
import type { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { pipeline } from 'node:stream/promises';
import yauzl from 'yauzl';
import { BackupRefused } from './backupRefused.js';
import { FORMAT_VERSION, MANIFEST, Manifest, fileEntry, tableEntry } from './manifest.js';
import { Measured } from './measured.js';
import { sealHolds } from './seal.js';

export interface OpenBackup {
  readonly manifest: Manifest;
  open(entry: string): Promise<Readable>;
  close(): void;
}

const damaged = (file: string, what: string): BackupRefused =>
  new BackupRefused(`${file} is damaged or cut short (${what}). Nothing was written; take another backup.`);

/** @throws BackupRefused when it is no backup, damaged, cut short, or made by a newer version */
export async function openBackup(file: string, knownMigrations: readonly string[]): Promise<OpenBackup> {
  let whole: boolean;
  try {
    whole = await sealHolds(file);
  } catch (error) {
    throw new BackupRefused(`${file} cannot be read (${(error as Error).message}). Check the name.`);
  }
  if (!whole) throw damaged(file, 'its seal does not hold');
  const { zip, entries } = await openZip(file).catch((error: Error) => {
    throw damaged(file, error.message);
  });
  try {
    const open = (name: string) => openEntry(zip, entries, name);
    const manifest = await readManifest(file, await buffer(await open(MANIFEST)), knownMigrations);
    await checkEntries(file, manifest, entries, open);
    return { manifest, open, close: () => zip.close() };
  } catch (error) {
    zip.close();
    throw error instanceof BackupRefused ? error : damaged(file, (error as Error).message);
  }
}

async function readManifest(file: string, bytes: Buffer, known: readonly string[]): Promise<Manifest> {
  const value = JSON.parse(bytes.toString('utf8')) as { format?: unknown; formatVersion?: unknown };
  if (value.format !== 'sojourn-backup') throw new BackupRefused(`${file} is not a backup of Sojourn.`);
  const newer =
    Number(value.formatVersion) > FORMAT_VERSION
      ? [`format ${String(value.formatVersion)}`]
      : Manifest.parse(value).migrations.filter((name) => !known.includes(name));
  if (newer.length > 0) {
    throw new BackupRefused(
      `${file} was made by a newer Sojourn (it has ${newer.join(', ')}). ` +
        'Restore it with that version; nothing was written.',
    );
  }
  return Manifest.parse(value);
}

/** Sizes and hashes of all that the manifest names, and nothing beside it. */
async function checkEntries(
  file: string,
  manifest: Manifest,
  entries: ReadonlyMap<string, yauzl.Entry>,
  open: (name: string) => Promise<Readable>,
): Promise<void> {
  const named = [
    ...manifest.tables.map(({ name, ...rest }) => ({ entry: tableEntry(name), ...rest })),
    ...manifest.files.map(({ sha256, bytes }) => ({ entry: fileEntry(sha256), sha256, bytes })),
  ];
  if (entries.size !== named.length + 1) throw damaged(file, 'it holds other entries than it lists');
  for (const { entry, bytes, sha256 } of named) {
    const measured = new Measured();
    measured.resume();
    await pipeline(await open(entry), measured);
    if (measured.bytes !== bytes || measured.sha256() !== sha256)
      throw damaged(file, `the checksum of ${entry} does not hold`);
  }
}

async function openZip(
  file: string,
): Promise<{ zip: yauzl.ZipFile; entries: ReadonlyMap<string, yauzl.Entry> }> {
  const zip = await new Promise<yauzl.ZipFile>((resolve, reject) => {
    yauzl.open(file, { lazyEntries: true, autoClose: false }, (error, opened) =>
      error ? reject(error) : resolve(opened),
    );
  });
  const entries = new Map<string, yauzl.Entry>();
  await new Promise<void>((resolve, reject) => {
    zip.on('error', reject);
    zip.on('end', resolve);
    zip.on('entry', (entry: yauzl.Entry) => {
      entries.set(entry.fileName, entry);
      zip.readEntry();
    });
    zip.readEntry();
  });
  return { zip, entries };
}

function openEntry(
  zip: yauzl.ZipFile,
  entries: ReadonlyMap<string, yauzl.Entry>,
  name: string,
): Promise<Readable> {
  const entry = entries.get(name);
  if (!entry) return Promise.reject(new Error(`${name} is not in it`));
  return new Promise((resolve, reject) => {
    zip.openReadStream(entry, (error, stream) => (error ? reject(error) : resolve(stream)));
  });
}
