import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, expect, it } from 'vitest';
import { openMeasurementPath } from './openMeasurementPath.js';

let folder: string;
const made: string[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sojourn-path-'));
  made.push(folder);
});
afterAll(() => made.forEach((path) => rmSync(path, { recursive: true })));
const put = (name: string, content = 'x') => writeFileSync(join(folder, name), content);
const codes = async (path: string, limits?: Parameters<typeof openMeasurementPath>[1]) =>
  (await openMeasurementPath(path, limits)).problems.map(({ file, code }) => `${file}: ${code}`);

it('reads a folder with its folders, in a settled order and by relative names', async () => {
  mkdirSync(join(folder, 'vertical'));
  put('vertical/-10.csv', 'c');
  put('h+030.csv', 'b');
  put('.hidden');
  put('h+010.csv', 'a');
  const { entries, problems } = await openMeasurementPath(folder);
  expect(problems).toStrictEqual([]);
  expect(entries.map(({ name, bytes }) => `${name} ${new TextDecoder().decode(bytes)}`)).toStrictEqual([
    'h+010.csv a',
    'h+030.csv b',
    'vertical/-10.csv c',
  ]);
});

it('reads one file, and follows a link to one', async () => {
  put('h+030.csv', 'data');
  symlinkSync(join(folder, 'h+030.csv'), join(folder, 'v+030.csv'));
  expect(
    (await openMeasurementPath(join(folder, 'h+030.csv'))).entries.map(({ name }) => name),
  ).toStrictEqual(['h+030.csv']);
  expect((await openMeasurementPath(folder)).entries).toHaveLength(2);
});

it('says what is wrong with a path', async () => {
  expect(await codes(join(folder, 'missing'))).toStrictEqual(['missing: not-found']);
  put('bad.zip', 'no archive');
  expect(await codes(join(folder, 'bad.zip'))).toStrictEqual(['bad.zip: archive-damaged']);
  expect(await codes('/dev/null')).toStrictEqual(['null: not-a-regular-file']);
});

it('does not wait for a pipe, nor run in circles', async () => {
  execFileSync('mkfifo', [join(folder, 'h0.csv')]);
  symlinkSync(folder, join(folder, 'round'));
  expect((await codes(folder)).toSorted()).toStrictEqual([
    'h0.csv: not-a-regular-file',
    'round: not-a-regular-file',
  ]);
});

it('names a dangling link as missing', async () => {
  symlinkSync(join(folder, 'gone'), join(folder, 'h0.csv'));
  expect(existsSync(join(folder, 'h0.csv'))).toBe(false);
  expect(await codes(folder)).toStrictEqual(['h0.csv: not-found']);
});

it('holds to its limits', async () => {
  put('h0.csv', '12345');
  put('h10.csv', '12345');
  expect((await codes(folder, { fileCount: 1 }))[0]).toMatch(/too-many-files$/);
  expect(await codes(folder, { fileBytes: 4 })).toStrictEqual([
    'h0.csv: file-too-large',
    'h10.csv: file-too-large',
  ]);
  expect((await codes(folder, { totalBytes: 9 }))[0]).toMatch(/set-too-large$/);
  mkdirSync(join(folder, 'a/b/c'), { recursive: true });
  expect(await codes(folder, { pathDepth: 2 })).toStrictEqual(['a/b: path-too-deep']);
});
