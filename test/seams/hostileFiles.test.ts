/** Hostile files, read in real limited processes: each is refused in words, and the next file is read as if nothing was. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { deflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type * as reading from '../../libs/file-reading/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { writeZipOfZeros } from './zipOfZeros.js';

// As it runs: from the build, where the processes find their program.
const built = path.resolve(import.meta.dirname, '../../dist/libs/file-reading/index.js');
const { openReadingPool, ReadingStopped, stoppedProblem } = (await import(built)) as typeof reading;

const good = measurementSet('sedge-5', { seed: 1 });

describe('a hostile file', () => {
  let folder: string;
  let pool: reading.ReadingPool;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-hostile-'));
    pool = openReadingPool(1, { folders: [folder], patienceMs: 60_000 }, 1);
  });
  afterAll(async () => {
    await pool.close();
    await rm(folder, { recursive: true, force: true });
  });

  const read = (name: string, bytes: Uint8Array) => pool.run('read-set', { entries: [{ name, bytes }] });
  const stillReads = async (from = pool) => {
    const { series, problems } = await from.run('read-set', { entries: good });
    expect(problems).toEqual([]);
    expect(series?.length).toBeGreaterThan(10_000);
  };

  it.each([
    ['a line of 100 MB', 'h+000.csv', () => Buffer.alloc(100_000_000, '1'), 'line-too-long'],
    ['a WAV whose header promises 4 GB', 'h+000.wav', lyingWav, 'wav-'],
    ['an HDF5 file whose sizes are all at their largest', 'unit.sofa', hugeHdf5, 'sofa'],
  ])('%s', async (_what, name, make, code) => {
    const { series, problems } = await read(name, make());
    expect(series).toBeUndefined();
    expect(problems[0]?.file).toBe(name);
    expect(problems[0]?.code).toContain(code);
    expect(problems[0]?.remedy).not.toBe('');
    await stillReads();
  });

  it('an archive that would expand to far more than one file may have', async () => {
    const file = path.join(folder, 'bomb.zip');
    await writeZipOfZeros(file, 'h+000.csv', 400_000_000);
    const { entries, problems } = await pool.run('expand-archive', { file, name: 'bomb.zip' });
    expect(entries).toEqual([]);
    expect(problems.map(({ code }) => code)).toContain('file-too-large');
    await stillReads();
  });

  it('a picture of some kilobytes that unpacks to gigabytes says its size before it is unpacked', async () => {
    const { size } = await pool.run('measure-picture', { head: pngBomb(60_000, 60_000) });
    expect(size).toEqual({ widthPx: 60_000, heightPx: 60_000 });
    const cut = await pool.run('measure-picture', { head: pngBomb(1, 1).subarray(0, 18) });
    expect(cut.size).toBeUndefined();
    await stillReads();
  });

  it('that takes for ever is given up, and hurts nobody who reads beside it', async () => {
    const hasty = openReadingPool(1, { patienceMs: 5000 }, 1);
    try {
      const [pid = 0] = hasty.pids();
      // As good as for ever: it does not go on at all.
      process.kill(pid, 'SIGSTOP');
      const long = hasty.run('read-set', { entries: good }).catch((error: unknown) => error);
      await stillReads();
      const stopped = await long;
      expect(stopped).toBeInstanceOf(ReadingStopped);
      const problem = stoppedProblem(stopped as reading.ReadingStopped, 'the set');
      expect(problem).toMatchObject({ file: 'the set', code: 'not-readable' });
      expect(problem.message).toMatch(/longer than any measurement should/);
      expect(hasty.pids()).not.toContain(pid);
    } finally {
      await hasty.close();
    }
  });

  it('that asks for more memory than there may be ends its process alone, and is named', async () => {
    const small = openReadingPool(1, { memoryMB: 260 });
    try {
      const entries = [...good, { name: 'h+175.wav', bytes: byteRecording(32_000_000) }];
      const stopped = await small.run('read-set', { entries }).catch((error: unknown) => error);
      expect(stopped).toBeInstanceOf(ReadingStopped);
      expect(stopped).toMatchObject({ cause: 'died', file: 'h+175.wav' });
      await stillReads(small);
    } finally {
      await small.close();
    }
  });
});

describe('a limited process', () => {
  it('that somebody else ends is started again, and the file is read', async () => {
    const pool = openReadingPool(1, {}, 1);
    try {
      const [pid = 0] = pool.pids();
      const under = pool.run('read-set', { entries: good });
      process.kill(pid, 'SIGKILL');
      expect((await under).problems).toEqual([]);
      expect(pool.pids()).not.toContain(pid);
    } finally {
      await pool.close();
    }
  });

  it('may read no file that it was not given', async () => {
    const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-closed-'));
    const pool = openReadingPool(1);
    try {
      const file = path.join(folder, 'secret.zip');
      await writeFile(file, 'PK');
      const { entries, problems } = await pool.run('expand-archive', { file, name: 'secret.zip' });
      expect(entries).toEqual([]);
      expect(problems[0]?.message).toMatch(/restricted|permission/i);
    } finally {
      await pool.close();
      await rm(folder, { recursive: true, force: true });
    }
  });
});

function lyingWav(): Uint8Array {
  const wav = Buffer.alloc(60);
  wav.write('RIFF', 0, 'latin1');
  wav.writeUInt32LE(0xffff_ffff, 4);
  wav.write('WAVEfmt ', 8, 'latin1');
  wav.writeUInt32LE(16, 16);
  wav.writeUInt16LE(1, 20);
  wav.writeUInt16LE(65_535, 22);
  wav.writeUInt32LE(48_000, 24);
  wav.writeUInt32LE(0xffff_ffff, 28);
  wav.writeUInt16LE(65_535, 32);
  wav.writeUInt16LE(32, 34);
  wav.write('data', 36, 'latin1');
  wav.writeUInt32LE(0xffff_fff0, 40);
  return wav;
}

/** Eight bits a sample, which become sixty-four when they are read. */
function byteRecording(frames: number): Uint8Array {
  const wav = Buffer.alloc(44 + frames, 200);
  wav.write('RIFF', 0, 'latin1');
  wav.writeUInt32LE(36 + frames, 4);
  wav.write('WAVEfmt ', 8, 'latin1');
  wav.writeUInt32LE(16, 16);
  wav.writeUInt16LE(1, 20);
  wav.writeUInt16LE(1, 22);
  wav.writeUInt32LE(48_000, 24);
  wav.writeUInt32LE(48_000, 28);
  wav.writeUInt16LE(1, 32);
  wav.writeUInt16LE(8, 34);
  wav.write('data', 36, 'latin1');
  wav.writeUInt32LE(frames, 40);
  return wav;
}

/** The superblock of HDF5 (version 0) with every size and address after it as large as can be. */
function hugeHdf5(): Uint8Array {
  const file = Buffer.alloc(4096, 0xff);
  Buffer.from('894844460d0a1a0a00000000000808000400100000000000', 'hex').copy(file);
  file.writeBigUInt64LE(0n, 24);
  file.writeBigUInt64LE(0x7fff_ffff_ffff_fff0n, 40);
  return file;
}

/** A PNG (ISO/IEC 15948) of one colour: its pixels pack a thousandfold. Only the beginning is told truly. */
function pngBomb(widthPx: number, heightPx: number): Buffer {
  const header = Buffer.alloc(33);
  Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex').copy(header);
  header.writeUInt32BE(widthPx, 16);
  header.writeUInt32BE(heightPx, 20);
  header.set([8, 0, 0, 0, 0], 24);
  return Buffer.concat([header, deflateSync(Buffer.alloc(1_000_000))]);
}
