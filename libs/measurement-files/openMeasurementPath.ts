import { open, readdir, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { expandZip, looksLikeZip, type Expansion, type FileEntry } from './archive/expandZip.js';
import { isIgnoredFile } from './fileName.js';
import { sayBytes, withLimits, type ReadLimits } from './limits.js';
import { problem, type Problem } from './problem.js';

/** Files read at a time; more only queue in the thread pool. */
const CONCURRENCY = 8;

/**
 * Reads the files of a folder (with its folders), of a ZIP archive, or one single file. Names are relative to
 * the folder. With any problem no entry is returned.
 */
export async function openMeasurementPath(path: string, limits?: Partial<ReadLimits>): Promise<Expansion> {
  const bounds = withLimits(limits);
  const name = basename(path) || path;
  try {
    const info = await stat(path);
    if (info.isDirectory()) return await readFolder(path, bounds);
    if (!info.isFile()) return refused(notRegular(name));
    if (/\.zip$/i.test(path) || (await looksLikeZip(path))) return await expandZip(path, limits, name);
    return await readFiles([{ name, path, size: info.size }], bounds);
  } catch (cause) {
    return refused(fileSystemProblem(name, cause));
  }
}

function refused(fault: Problem): Expansion {
  return { entries: [], problems: [fault] };
}

function notRegular(name: string): Problem {
  const message = 'This is neither a file nor a folder.';
  return problem(name, undefined, 'not-a-regular-file', message, 'Give a folder, a ZIP archive or a file.');
}

function fileSystemProblem(name: string, cause: unknown): Problem {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : undefined;
  if (code === undefined) throw cause;
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    return problem(name, undefined, 'not-found', 'There is no such file or folder.', 'Check the path.');
  }
  const message = `The file or folder can't be read (${code}).`;
  return problem(
    name,
    undefined,
    'not-readable',
    message,
    'Check its permissions and that no other program holds it.',
  );
}

interface Found {
  readonly name: string;
  readonly path: string;
  readonly size: number;
}

async function readFolder(root: string, limits: ReadLimits): Promise<Expansion> {
  const found: Found[] = [];
  const problems: Problem[] = [];
  const pending = [{ path: root, name: '' }];
  let count = 0;
  for (let folder = pending.pop(); folder !== undefined; folder = pending.pop()) {
    for (const item of await readdir(folder.path, { withFileTypes: true })) {
      count += 1;
      if (count > limits.fileCount) return refused(tooManyFiles(basename(root), limits));
      const name = folder.name === '' ? item.name : `${folder.name}/${item.name}`;
      const path = join(folder.path, item.name);
      if (isIgnoredFile(name)) continue;
      if (!item.isDirectory()) {
        const file = await findFile(name, path);
        if ('code' in file) problems.push(file);
        else found.push(file);
      } else if (name.split('/').length < limits.pathDepth) pending.push({ path, name });
      else problems.push(tooDeep(name, limits));
    }
  }
  if (problems.length > 0) return { entries: [], problems };
  return readFiles(
    found.sort((a, b) => (a.name < b.name ? -1 : 1)),
    limits,
  );
}

function tooManyFiles(folder: string, limits: ReadLimits): Problem {
  const message = `The folder has more than ${limits.fileCount} files.`;
  return problem(folder, undefined, 'too-many-files', message, 'Give only the folder of one unit.');
}

function tooDeep(name: string, limits: ReadLimits): Problem {
  const message = `It lies ${limits.pathDepth} folders deep.`;
  return problem(name, undefined, 'path-too-deep', message, 'Give the folder of the files themselves.');
}

/** A link to a file is followed; a link to a folder might lead round in circles. */
async function findFile(name: string, path: string): Promise<Found | Problem> {
  try {
    const info = await stat(path);
    return info.isFile() ? { name, path, size: info.size } : notRegular(name);
  } catch (cause) {
    return fileSystemProblem(name, cause);
  }
}

async function readFiles(files: readonly Found[], limits: ReadLimits): Promise<Expansion> {
  const tooLarge = files.filter(({ size }) => size > limits.fileBytes);
  const problems = tooLarge.map(({ name, size }) => {
    const message = `The file has ${sayBytes(size)}; at most ${sayBytes(limits.fileBytes)} are read.`;
    return problem(
      name,
      undefined,
      'file-too-large',
      message,
      'Leave it out, or cut it to the part that matters.',
    );
  });
  const total = files.reduce((sum, { size }) => sum + size, 0);
  if (total > limits.totalBytes) {
    const message = `The files have ${sayBytes(total)} together; at most ${sayBytes(limits.totalBytes)} are read.`;
    problems.push(
      problem('the folder', undefined, 'set-too-large', message, 'Give only the files of one unit.'),
    );
  }
  if (problems.length > 0) return { entries: [], problems };
  const entries = Array.from<FileEntry>({ length: files.length });
  const failures: Problem[] = [];
  let next = 0;
  const worker = async () => {
    for (let at = next++; at < files.length; at = next++) {
      const { name, path } = files[at];
      try {
        entries[at] = { name, bytes: await readAtMost(path, limits.fileBytes) };
      } catch (cause) {
        failures.push(fileSystemProblem(name, cause));
      }
    }
  };
  await Promise.all(Array.from({ length: CONCURRENCY }, worker));
  return failures.length > 0 ? { entries: [], problems: failures } : { entries, problems: [] };
}

/** A file may grow while it is read (a rig still writing); the cap holds for what is read, not what was seen. */
async function readAtMost(path: string, maxBytes: number): Promise<Uint8Array> {
  const file = await open(path, 'r');
  try {
    const { size } = await file.stat();
    const buffer = Buffer.allocUnsafeSlow(Math.min(size, maxBytes));
    let length = 0;
    while (length < buffer.length) {
      const { bytesRead } = await file.read(buffer, length, buffer.length - length, length);
      if (bytesRead === 0) break;
      length += bytesRead;
    }
    return buffer.subarray(0, length);
  } finally {
    await file.close();
  }
}
