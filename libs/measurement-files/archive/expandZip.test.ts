import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { constants, crc32, deflateRawSync, inflateRawSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { expandZip, looksLikeZip } from './expandZip.js';

interface Packed {
  readonly name: string | Uint8Array;
  readonly data?: Uint8Array;
  readonly packed?: Uint8Array;
  readonly method?: number;
  readonly flags?: number;
  readonly size?: number;
  readonly crc?: number;
  readonly attributes?: number;
  /** Writes no data of its own: the directory points at the first entry's (an overlapping bomb). */
  readonly shared?: boolean;
}

/** A ZIP byte for byte, so that every field can lie (APPNOTE.TXT 4.3). */
function makeZip(entries: readonly Packed[], claimedCount = entries.length): Buffer {
  const locals: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const entry of entries) {
    const name = Buffer.from(entry.name as Uint8Array);
    const data = entry.data ?? new Uint8Array();
    const method = entry.method ?? 8;
    const packed = entry.packed ?? (method === 0 ? data : deflateRawSync(data));
    const common = Buffer.alloc(26);
    common.writeUInt16LE(20, 0);
    common.writeUInt16LE((entry.flags ?? 0) | 0x800, 2);
    common.writeUInt16LE(method, 4);
    common.writeUInt32LE(entry.crc ?? crc32(data), 10);
    common.writeUInt32LE(packed.length, 14);
    common.writeUInt32LE(entry.size ?? data.length, 18);
    common.writeUInt16LE(name.length, 22);
    const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), common, name, packed]);
    const header = Buffer.alloc(20);
    header.writeUInt16LE(entry.attributes === undefined ? 0 : 3 << 8, 0);
    const tail = Buffer.alloc(14);
    tail.writeUInt32LE(entry.attributes ?? 0, 6);
    tail.writeUInt32LE(entry.shared === true ? 0 : offset, 10);
    directory.push(
      Buffer.concat([Buffer.from('PK\x01\x02', 'latin1'), header.subarray(0, 2), common, tail, name]),
    );
    if (entry.shared !== true) {
      locals.push(local);
      offset += local.length;
    }
  }
  const central = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 'latin1');
  end.writeUInt16LE(claimedCount, 8);
  end.writeUInt16LE(claimedCount, 10);
  end.writeUInt32LE(central.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...locals, central, end]);
}

const text = (value: string) => new TextEncoder().encode(value);
const codes = async (...args: Parameters<typeof expandZip>) => {
  const { entries, problems } = await expandZip(...args);
  if (problems.length > 0) expect(entries).toStrictEqual([]);
  return problems.map(({ file, code }) => `${file}: ${code}`);
};
const folder = mkdtempSync(join(tmpdir(), 'sojourn-zip-'));
afterAll(() => rmSync(folder, { recursive: true }));

describe('reading', () => {
  it('expands stored and packed files in folders, from memory and from disk', async () => {
    const zip = makeZip([
      { name: 'set/', method: 0 },
      { name: 'set/h+030.csv', data: text('20,80') },
      { name: 'set/inner/V -10.csv', data: text('stored'), method: 0 },
      { name: 'h\u00f6he.csv', data: text('x') },
      { name: 'back\\slash.csv', data: text('y') },
      { name: 'empty.csv' },
    ]);
    const path = join(folder, 'good.bin');
    writeFileSync(path, zip);
    for (const source of [zip, path]) {
      const { entries, problems } = await expandZip(source);
      expect(problems).toStrictEqual([]);
      expect(entries.map(({ name, bytes }) => `${name}=${new TextDecoder().decode(bytes)}`)).toStrictEqual([
        'set/h+030.csv=20,80',
        'set/inner/V -10.csv=stored',
        'h\u00f6he.csv=x',
        'back/slash.csv=y',
        'empty.csv=',
      ]);
    }
    expect(await looksLikeZip(path)).toBe(true);
  });

  it('passes over resource forks and hidden files', async () => {
    const { entries } = await expandZip(
      makeZip(
        ['__MACOSX/._h0.csv', '._h0.csv', '.DS_Store', 'a/.git/x', 'Thumbs.db', 'h0.csv'].map((name) => ({
          name,
          data: text('1'),
        })),
      ),
    );
    expect(entries.map(({ name }) => name)).toStrictEqual(['h0.csv']);
  });
});

describe('refusing', () => {
  it.each<[string, Packed[], string[]]>([
    [
      'zip slip',
      [{ name: '../evil.csv' }, { name: 'a/../../evil.csv' }],
      ['../evil.csv: unsafe-path', 'a/../../evil.csv: unsafe-path'],
    ],
    [
      'absolute paths',
      [{ name: '/etc/passwd' }, { name: 'C:/x.csv' }],
      ['/etc/passwd: unsafe-path', 'C:/x.csv: unsafe-path'],
    ],
    ['backslashed slip', [{ name: '..\\evil.csv' }], ['../evil.csv: unsafe-path']],
    ['deep folders', [{ name: `${'d/'.repeat(20)}x.csv` }], [`${'d/'.repeat(20)}x.csv: path-too-deep`]],
    ['encryption', [{ name: 'h0.csv', data: text('abc'), flags: 1 }], ['h0.csv: archive-encrypted']],
    ['other methods', [{ name: 'h0.csv', data: text('abc'), method: 93 }], ['h0.csv: archive-method']],
    [
      'links',
      [{ name: 'h0.csv', data: text('/etc/passwd'), attributes: 0o120777 * 65_536 }],
      ['h0.csv: archive-link'],
    ],
    ['archives within', [{ name: 'inner.zip', data: text('PK') }], ['inner.zip: archive-nested']],
    ['two of a name', [{ name: 'h0.csv' }, { name: 'H0.csv' }], ['H0.csv: archive-duplicate-name']],
    ['a wrong checksum', [{ name: 'h0.csv', data: text('abc'), crc: 1 }], ['h0.csv: archive-damaged']],
    [
      'more than promised',
      [{ name: 'h0.csv', data: text('abcdefgh'), size: 3 }],
      ['h0.csv: archive-damaged'],
    ],
    ['less than promised', [{ name: 'h0.csv', data: text('abc'), size: 8 }], ['h0.csv: archive-damaged']],
    [
      'rubbish for packed data',
      [{ name: 'h0.csv', packed: text('\x07 no deflate'), size: 8 }],
      ['h0.csv: archive-damaged'],
    ],
  ])('%s', async (_what, entries, expected) => {
    expect(await codes(makeZip(entries))).toStrictEqual(expected);
  });

  it('too many files, counted or only claimed', async () => {
    const entries = Array.from({ length: 5 }, (_, at) => ({ name: `h${at}.csv` }));
    expect(await codes(makeZip(entries), { fileCount: 4 })).toStrictEqual(['the archive: too-many-files']);
    expect(await codes(makeZip(entries, 65_000))).toStrictEqual(['the archive: too-many-files']);
  });

  it('files too large alone or together', async () => {
    const zip = makeZip([
      { name: 'a', data: new Uint8Array(600) },
      { name: 'b', data: new Uint8Array(600) },
    ]);
    expect(await codes(zip, { fileBytes: 500 })).toStrictEqual(['a: file-too-large', 'b: file-too-large']);
    expect(await codes(zip, { totalBytes: 1000 }, 'set.zip')).toStrictEqual(['set.zip: set-too-large']);
  });

  it('entries that overlap to expand the same bytes many times', async () => {
    const kernel = new Uint8Array(10_000_000);
    const first = { name: 'a0', data: kernel };
    const packed = deflateRawSync(kernel);
    const others = Array.from({ length: 200 }, (_, at) => ({
      name: `a${at + 1}`,
      data: kernel,
      packed,
      shared: true,
    }));
    const found = await codes(makeZip([first, ...others]));
    expect(found.at(-1)).toMatch(/archive-ratio|set-too-large/);
  });

  it('what is no archive, or a damaged one', async () => {
    const zip = makeZip([{ name: 'h0.csv', data: text('abc') }]);
    expect(await codes(text('not a zip at all, only text'))).toStrictEqual(['the archive: archive-damaged']);
    expect(await codes(new Uint8Array())).toStrictEqual(['the archive: archive-damaged']);
    for (let length = 1; length < zip.length; length += 7) {
      expect(await codes(zip.subarray(0, length))).toStrictEqual(['the archive: archive-damaged']);
    }
  });

  it('any single damaged byte without throwing', async () => {
    const zip = makeZip([{ name: 'h0.csv', data: text('20,80\n40,80\n') }]);
    for (let at = 0; at < zip.length; at += 1) {
      const damaged = Buffer.from(zip);
      damaged[at] ^= 0xff;
      const { entries, problems } = await expandZip(damaged);
      expect(entries.length === 0 || problems.length === 0).toBe(true);
    }
  });
});

describe('a bomb of 2 GB', () => {
  /** A packed run of zeros that may stand any number of times in one stream; made once, so 2 GB cost nothing. */
  const run = deflateRawSync(Buffer.alloc(2 ** 24), { finishFlush: constants.Z_FULL_FLUSH });
  const lastBlock = Buffer.from([0x03, 0x00]);
  const writeBomb = (path: string, runs: number, claimed: number) => {
    const packed = Buffer.concat([...Array.from({ length: runs }, () => run), lastBlock]);
    writeFileSync(path, makeZip([{ name: 'h0.csv', packed, size: claimed, crc: 0 }]));
  };

  it('is refused from its directory when it tells the truth, and at the promised size when it lies', async () => {
    const honest = join(folder, 'honest.zip');
    const liar = join(folder, 'liar.zip');
    writeBomb(honest, 128, 2 ** 31);
    writeBomb(liar, 128, 1000);
    expect(inflateRawSync(Buffer.concat([run, run, lastBlock])).length).toBe(2 ** 25);
    const memory = process.memoryUsage().rss;
    const begun = performance.now();
    expect(await codes(honest)).toStrictEqual(['h0.csv: file-too-large', 'the archive: set-too-large']);
    expect(await codes(liar)).toStrictEqual(['h0.csv: archive-damaged']);
    expect(performance.now() - begun).toBeLessThan(1000);
    expect(process.memoryUsage().rss - memory).toBeLessThan(50_000_000);
  });
});
