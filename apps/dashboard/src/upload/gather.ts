/** From what was dropped or chosen to the files that are sent. */
import type { ProblemView } from '../contracts.js';

export interface Found<F> {
  /** The path inside the folder; a lone file's own name. */
  readonly path: string;
  readonly file: F;
}

/** What operating systems leave in folders; never measurement data. */
const litter = /^(\.|thumbs\.db$|desktop\.ini$|~\$)|^icon\r$/i;

/**
 * Leaves litter out and names two files of one name: a set knows its files by name, so the second would replace the
 * first in silence.
 */
export function choose<F>(found: readonly Found<F>[]): {
  take: { name: string; file: F }[];
  problems: ProblemView[];
} {
  const take = new Map<string, { name: string; path: string; file: F }>();
  const problems: ProblemView[] = [];
  for (const { path, file } of found) {
    const parts = path.split('/').filter((part) => part !== '');
    const name = parts.at(-1) ?? '';
    if (name === '' || parts.some((part) => litter.test(part) || part === '__MACOSX')) continue;
    const earlier = take.get(name.toLowerCase());
    if (earlier) {
      problems.push({
        file: path,
        code: 'same-name',
        message: `There is another file of this name, ${earlier.path}.`,
        remedy: 'Rename one of them, or put it in a set of its own.',
      });
    } else take.set(name.toLowerCase(), { name, path, file });
  }
  return { take: [...take.values()].map(({ name, file }) => ({ name, file })), problems };
}

interface DroppedFile {
  readonly kind: 'file';
  readonly name: string;
  getFile(): Promise<File>;
}
interface DroppedFolder {
  readonly kind: 'directory';
  readonly name: string;
  getEntries(): AsyncIterable<DroppedFile | DroppedFolder>;
}

/** Walks dropped folders to their files. */
export async function walk(
  items: Iterable<DroppedFile | DroppedFolder | { readonly kind: 'text' }>,
  folder = '',
): Promise<Found<File>[]> {
  const found: Found<File>[] = [];
  for (const item of items) {
    if (item.kind === 'file') found.push({ path: `${folder}${item.name}`, file: await item.getFile() });
    else if (item.kind === 'directory') {
      const entries: (DroppedFile | DroppedFolder)[] = [];
      for await (const entry of item.getEntries()) entries.push(entry);
      found.push(...(await walk(entries, `${folder}${item.name}/`)));
    }
  }
  return found;
}

/** Files of a chosen folder carry their path. */
export function fromChooser(files: Iterable<File>): Found<File>[] {
  return [...files].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
}
