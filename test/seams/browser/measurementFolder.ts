/** Files on this disk as the rig would have left them. */
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { DataFile } from '../../../seed/files/dataFile.js';

export async function writeFolder(folder: string, files: readonly DataFile[]): Promise<string> {
  await mkdir(folder, { recursive: true });
  for (const { name, bytes } of files) await writeFile(path.join(folder, name), bytes);
  return folder;
}
