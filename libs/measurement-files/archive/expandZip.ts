import { open } from 'node:fs/promises';
import { crc32 } from 'node:zlib';
import type { Entry, ZipFile } from 'yauzl';
import { isIgnoredFile } from '../fileName.js';
import { sayBytes, withLimits, type ReadLimits } from '../limits.js';
import { problem, quote, type Problem } from '../problem.js';

/** A file by the name the operator gave it (folders with `/`). */
export interface FileEntry {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export interface Expansion {
  readonly entries: readonly FileEntry[];
  readonly problems: readonly Problem[];
}

const STORED = 0;
const DEFLATED = 8;
const PACK_AGAIN = 'Pack the files again.';

/**
 * Reads a ZIP archive into memory, or says what is wrong with it; with any problem no entry is returned.
 *
 * The whole directory is judged against the limits before a byte is expanded, and expansion stops at the size
 * the directory promised, so a bomb costs neither time nor memory. `name` is how problems call the archive.
 * Files that operating systems add (`__MACOSX`, names with a leading dot) are passed over.
 */
export async function expandZip(
  source: Uint8Array | string,
  limits?: Partial<ReadLimits>,
  name = 'the archive',
): Promise<Expansion> {
  const bounds = withLimits(limits);
  const yauzl = await import('yauzl');
  const options = {
    lazyEntries: true,
    decodeStrings: false,
    validateEntrySizes: true,
    autoClose: false,
  } as const;
  let zip: ZipFile | undefined;
  try {
    zip =
      typeof source === 'string'
        ? await yauzl.openPromise(source, options)
        : await yauzl.fromBufferPromise(
            Buffer.from(source.buffer, source.byteOffset, source.byteLength),
            options,
          );
    const judged = await judgeDirectory(zip, bounds, name, yauzl);
    if (judged.problems.length > 0) return { entries: [], problems: judged.problems };
    return await expandAll(zip, judged.files, name);
  } catch (cause) {
    if (!(cause instanceof Error)) throw cause;
    const message = `The archive can't be read (${cause.message.slice(0, 200)}).`;
    return { entries: [], problems: [problem(name, undefined, 'archive-damaged', message, PACK_AGAIN)] };
  } finally {
    zip?.close();
  }
}

/** Whether a file is a ZIP archive, by the signature of its first entry (or of an empty archive), not its name. */
export async function looksLikeZip(path: string): Promise<boolean> {
  const file = await open(path, 'r');
  try {
    const { bytesRead, buffer } = await file.read(Buffer.alloc(4), 0, 4, 0);
    const head = buffer.toString('latin1', 0, bytesRead);
    return head === 'PK\x03\x04' || head === 'PK\x05\x06';
  } finally {
    await file.close();
  }
}

interface NamedEntry {
  readonly name: string;
  readonly entry: Entry;
}

type Yauzl = typeof import('yauzl');

async function judgeDirectory(
  zip: ZipFile,
  limits: ReadLimits,
  archive: string,
  yauzl: Yauzl,
): Promise<{ files: readonly NamedEntry[]; problems: readonly Problem[] }> {
  const files: NamedEntry[] = [];
  const problems: Problem[] = [];
  if (zip.entryCount > limits.fileCount)
    return { files, problems: [tooMany(archive, zip.entryCount, limits)] };
  const seen = new Set<string>();
  let total = 0;
  let count = 0;
  for await (const entry of zip.eachEntry()) {
    count += 1;
    if (count > limits.fileCount) return { files, problems: [tooMany(archive, count, limits)] };
    const name = entryName(entry, yauzl);
    if (name.endsWith('/') || isIgnoredFile(name)) continue;
    total += entry.uncompressedSize;
    const fault = judgeEntry(entry, name, limits, yauzl) ?? judgeName(name, seen);
    if (fault !== undefined) problems.push(fault);
    else files.push({ name, entry });
    if (problems.length >= limits.problemsPerFile) break;
  }
  if (total > limits.totalBytes) {
    const message = `The files would expand to ${sayBytes(total)}; at most ${sayBytes(limits.totalBytes)} are read.`;
    problems.push(
      problem(archive, undefined, 'set-too-large', message, 'Pack only the measurement files of one unit.'),
    );
  }
  return { files, problems };
}

function tooMany(archive: string, count: number, limits: ReadLimits): Problem {
  const message = `The archive has ${count} files or more; at most ${limits.fileCount} are read.`;
  return problem(
    archive,
    undefined,
    'too-many-files',
    message,
    'Pack only the measurement files of one unit.',
  );
}

/** The name in the archive's own coding; backslashes (some Windows packers) become folders. */
function entryName(entry: Entry, yauzl: Yauzl): string {
  const { generalPurposeBitFlag, extraFields } = entry;
  const raw = entry.fileNameRaw;
  return yauzl.getFileNameLowLevel(generalPurposeBitFlag, raw, extraFields, false);
}

function judgeName(name: string, seen: Set<string>): Problem | undefined {
  const key = name.normalize('NFC').toLowerCase();
  if (seen.has(key)) {
    const message = 'The archive holds two files of this name.';
    return problem(
      name,
      undefined,
      'archive-duplicate-name',
      message,
      'Give each file its own name and pack again.',
    );
  }
  seen.add(key);
  return undefined;
}

function judgeEntry(entry: Entry, name: string, limits: ReadLimits, yauzl: Yauzl): Problem | undefined {
  const fail = (code: Problem['code'], message: string, remedy: string) =>
    problem(name, undefined, code, message, remedy);
  if (name.includes('\0') || yauzl.validateFileName(name) !== null) {
    return fail('unsafe-path', 'The name points outside the archive.', PACK_AGAIN);
  }
  if (name.split('/').length > limits.pathDepth) {
    return fail(
      'path-too-deep',
      `It lies more than ${limits.pathDepth} folders deep.`,
      'Pack the files themselves, not their parents.',
    );
  }
  if (((entry.externalFileAttributes >>> 16) & 0o170000) === 0o120000) {
    return fail('archive-link', 'This is a link, not a file.', 'Pack the file itself.');
  }
  if (entry.isEncrypted())
    return fail('archive-encrypted', 'The file is encrypted.', 'Pack it again without a password.');
  if (entry.compressionMethod !== STORED && entry.compressionMethod !== DEFLATED) {
    const message = `The file is packed by method ${entry.compressionMethod}, which is not read here.`;
    return fail('archive-method', message, 'Pack it again with the ordinary method (deflate).');
  }
  if (/\.zip$/i.test(name)) {
    return fail(
      'archive-nested',
      'This is an archive within the archive.',
      'Unpack it and pack its files directly.',
    );
  }
  const size = entry.uncompressedSize;
  if (size > limits.fileBytes) {
    const message = `The file would expand to ${sayBytes(size)}; at most ${sayBytes(limits.fileBytes)} are read.`;
    return fail('file-too-large', message, 'Leave it out, or cut it to the part that matters.');
  }
  if (size > limits.ratioFreeBytes && size > entry.compressedSize * limits.expansionRatio) {
    const message = `The file expands ${Math.round(size / Math.max(1, entry.compressedSize))} times; no measurement does.`;
    return fail('archive-ratio', message, 'Leave it out, or give it outside the archive.');
  }
  return undefined;
}

async function expandAll(zip: ZipFile, files: readonly NamedEntry[], archive: string): Promise<Expansion> {
  const entries: FileEntry[] = [];
  for (const { name, entry } of files) {
    try {
      const bytes = await expandEntry(zip, entry);
      if (crc32(bytes) !== entry.crc32 >>> 0) throw new Error('its checksum does not match');
      entries.push({ name, bytes });
    } catch (cause) {
      if (!(cause instanceof Error)) throw cause;
      const message = `The file is damaged in ${quote(archive)} (${cause.message.slice(0, 200)}).`;
      return { entries: [], problems: [problem(name, undefined, 'archive-damaged', message, PACK_AGAIN)] };
    }
  }
  return { entries, problems: [] };
}

/** Expands into exactly the promised size; one byte more stops the stream. */
async function expandEntry(zip: ZipFile, entry: Entry): Promise<Uint8Array> {
  const stream = await zip.openReadStreamPromise(entry);
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size > entry.uncompressedSize) throw new Error('it holds more than its directory says');
    chunks.push(chunk);
  }
  if (size !== entry.uncompressedSize) throw new Error('it holds less than its directory says');
  return Buffer.concat(chunks, size);
}
