/** What must not reach somebody, and finding it in whatever reaches them. */
import { createHash } from 'node:crypto';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expandZip } from '../../libs/measurement-files/archive/expandZip.js';

export interface Secrets {
  /** Words and titles, as they would be read. */
  readonly strings: readonly string[];
  /** As JSON and CSV write them. */
  readonly numbers: ReadonlySet<string>;
  /** SHA-256 of files. */
  readonly files: ReadonlySet<string>;
  /** Shapes that give away how many there are. */
  readonly counts: readonly RegExp[];
}

/** Digits enough that nothing else says the same by chance. */
const TELLING_DIGITS = 7;
const NUMBER = /-?\d+\.\d+(?:e[-+]?\d+)?/gi;
const telling = (number: string): boolean =>
  number.replaceAll(/\D/g, '').replace(/^0+/, '').length >= TELLING_DIGITS;

/** All telling numbers of a value, but those under names that hold no result. */
export function numbersOf(value: unknown, without: ReadonlySet<string>): Set<string> {
  const found = new Set<string>();
  const look = (one: unknown): void => {
    if (typeof one === 'number') {
      if (telling(String(one))) found.add(String(one));
    } else if (Array.isArray(one)) one.forEach(look);
    else if (typeof one === 'object' && one !== null) {
      for (const [name, inner] of Object.entries(one)) if (!without.has(name)) look(inner);
    }
  };
  look(value);
  return found;
}

/** Every secret that a text or file holds. */
export async function secretsIn(content: Uint8Array, secrets: Secrets): Promise<string[]> {
  const bytes = Buffer.from(content);
  const found: string[] = [];
  if (secrets.files.has(createHash('sha256').update(bytes).digest('hex'))) found.push('a file');
  if (bytes.subarray(0, 4).toString('latin1') === 'PK\u0003\u0004') {
    for (const entry of await unzipped(bytes)) found.push(...(await secretsIn(entry, secrets)));
    return found;
  }
  const text = bytes.toString('utf8');
  found.push(
    ...secrets.strings.filter(
      (string) => text.includes(string) || text.includes(JSON.stringify(string).slice(1, -1)),
    ),
  );
  for (const [number] of text.matchAll(NUMBER)) if (secrets.numbers.has(number)) found.push(number);
  for (const count of secrets.counts)
    if (count.test(text)) found.push(`a count: ${count.exec(text)?.[0] ?? ''}`);
  return found;
}

async function unzipped(bytes: Buffer): Promise<Uint8Array[]> {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-zip-'));
  try {
    const file = path.join(folder, 'one.zip');
    await writeFile(file, bytes);
    const { entries } = await expandZip(file, undefined, 'one.zip');
    return entries.map((entry) => entry.bytes);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
