/** What lies in the folder now, and the hash of a file that did not change while it was read. */
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { pipeline } from 'node:stream/promises';
import { defaultLimits, sayBytes } from '../../../libs/measurement-files/limits.js';
import { problem, type Problem } from '../../../libs/measurement-files/problem.js';
import { isTemporary, nameInSet } from './fileNames.js';
import { SendStopped } from './sendStopped.js';

export interface FoundFile {
  /** As it is called in the set. */
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
}

export interface FolderLook {
  readonly files: readonly FoundFile[];
  readonly problems: readonly Problem[];
}

/** @throws SendStopped (2) when there is no such folder, or too much in it */
export async function lookAtFolder(folder: string): Promise<FolderLook> {
  const files: FoundFile[] = [];
  const problems: Problem[] = [];
  const pending = [''];
  for (let at = pending.pop(); at !== undefined; at = pending.pop()) {
    for (const item of await itemsOf(folder, at)) {
      const relative = path.join(at, item.name);
      const name = nameInSet(relative, path.sep);
      if (isTemporary(name)) continue;
      if (item.isDirectory()) {
        if (name.split('/').length < defaultLimits.pathDepth) pending.push(relative);
        continue;
      }
      const found = await fileAt(folder, relative, name);
      if (found && 'code' in found) problems.push(found);
      else if (found) files.push(found);
    }
    if (files.length > defaultLimits.fileCount)
      throw new SendStopped(
        2,
        'too-many-files',
        `${folder}: There are more than ${defaultLimits.fileCount} files.`,
        'Send only the folder of one unit.',
      );
  }
  return { files: files.sort((a, b) => (a.name < b.name ? -1 : 1)), problems };
}

async function itemsOf(folder: string, below: string) {
  try {
    return await readdir(path.join(folder, below), { withFileTypes: true });
  } catch (error) {
    // A folder within it may go while we look; the folder itself may not.
    if (below !== '') return [];
    throw new SendStopped(
      2,
      'not-found',
      `${folder}: The folder can’t be read (${(error as NodeJS.ErrnoException).code}).`,
      'Check its path and its rights.',
    );
  }
}

/** undefined for what went away meanwhile, and for what is no file (a link to a folder might lead round in circles) */
async function fileAt(
  folder: string,
  relative: string,
  name: string,
): Promise<FoundFile | Problem | undefined> {
  const place = path.join(folder, relative);
  const info = await stat(place).catch(() => undefined);
  if (!info?.isFile()) return undefined;
  if (/\.zip$/i.test(name))
    return problem(
      name,
      undefined,
      'kind-not-read',
      'An archive is not sent from a folder.',
      'Unpack it here.',
    );
  if (info.size > defaultLimits.fileBytes) {
    const most = sayBytes(defaultLimits.fileBytes);
    return problem(
      name,
      undefined,
      'file-too-large',
      `It has ${sayBytes(info.size)}; one file may have ${most}.`,
      'Make shorter recordings.',
    );
  }
  return { name, path: place, bytes: info.size, modifiedMs: Math.floor(info.mtimeMs) };
}

/** @returns undefined when the file changed while it was read: it is not whole yet */
export async function hashWhole(file: FoundFile): Promise<string | undefined> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(file.path), hash);
  const now = await stat(file.path);
  if (now.size !== file.bytes || Math.floor(now.mtimeMs) !== file.modifiedMs) return undefined;
  return hash.digest('hex');
}
