/**
 * A published bundle into the team's folder: unpacked, whole or not at all. What stands there under a version's name
 * is never changed; only the list of versions is exchanged.
 */
import { randomUUID } from 'node:crypto';
import { access, mkdir, realpath, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { buffer } from 'node:stream/consumers';
import yauzl from 'yauzl';
import type { ReviewVersion } from '../contracts/index.js';
import { html } from './html.js';

export interface Placing {
  readonly folder: string;
  /** Lower-case words: the review's own folder. */
  readonly slug: string;
  readonly title: string;
  readonly number: number;
  readonly zip: Buffer;
  /** Newest first, this one included. */
  readonly versions: readonly ReviewVersion[];
}

export class PlaceRefused extends Error {}

/** @returns the version's folder. Placing the same version again leaves it as it is. */
export async function placeBundle(placing: Placing): Promise<string> {
  const { slug, number, zip } = placing;
  if (!/^[a-z0-9-]{1,120}$/.test(slug)) throw new PlaceRefused(`"${slug}" cannot name a folder.`);
  const root = await realpath(placing.folder);
  const review = path.join(root, slug);
  await mkdir(review, { recursive: true });
  // A link laid there by somebody else would lead the files out of the folder.
  if ((await realpath(review)) !== review) throw new PlaceRefused(`${slug} leads out of the folder.`);
  const version = path.join(review, `version-${number}`);
  const arriving = path.join(root, `.arriving-${randomUUID()}`);
  try {
    await mkdir(arriving);
    if (!(await exists(version))) {
      await unpack(zip, path.join(arriving, 'version'));
      await rename(path.join(arriving, 'version'), version);
    }
    await exchange(arriving, path.join(review, `version-${number}.zip`), zip);
    await exchange(arriving, path.join(review, 'index.html'), versionList(placing));
  } finally {
    await rm(arriving, { recursive: true, force: true });
  }
  return version;
}

async function exchange(arriving: string, target: string, content: string | Buffer): Promise<void> {
  const file = path.join(arriving, randomUUID());
  await writeFile(file, content);
  await rename(file, target);
}

async function exists(place: string): Promise<boolean> {
  try {
    await access(place);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
}

async function unpack(zip: Buffer, folder: string): Promise<void> {
  const archive = await yauzl.fromBufferPromise(zip);
  for await (const entry of archive.eachEntry()) {
    const target = path.resolve(folder, entry.fileName);
    if (!target.startsWith(`${folder}${path.sep}`)) throw new PlaceRefused('A file leads out of the bundle.');
    await mkdir(path.dirname(target), { recursive: true });
    await writeFile(target, await buffer(await archive.openReadStreamPromise(entry)));
  }
}

/** Which version stands, and which are superseded. */
function versionList({ title, versions }: Placing): string {
  const [latest] = versions;
  const page = html`<meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy" content="default-src 'none'" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <title>${title}</title>
    <h1>${title}</h1>
    <p><a href="version-${latest?.number}/index.html">Read the review</a></p>
    <h2>Versions</h2>
    <ul>
      ${versions.map(
        ({ number, publishedAt, changeNote }, index) =>
          html`<li>
            <a href="version-${number}/index.html">Version ${number}</a>,
            ${publishedAt.slice(0, 10)}${index > 0 && ' (superseded)'} ${changeNote}
          </li>`,
      )}
    </ul>`;
  return `<!doctype html>\n<html lang="en">\n${page.text}\n</html>\n`;
}
