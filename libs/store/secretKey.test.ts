import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openHome, SECRET_KEY_FILE, takeSecretKey } from './home.js';

describe('the secret key of a home', () => {
  let scratch: string;
  beforeAll(async () => void (scratch = await mkdtemp(path.join(tmpdir(), 'sojourn-key-'))));
  afterAll(() => rm(scratch, { recursive: true, force: true }));

  it('is made once, however many open the home at the same moment, and only its owner can read it', async () => {
    const folder = path.join(scratch, 'home');
    const homes = await Promise.all([1, 2, 3, 4].map(() => openHome(folder)));
    const keys = new Set(homes.map(({ secrets }) => secrets.secretKey));
    expect([keys.size, [...keys][0]?.length]).toEqual([1, 43]);
    expect((await openHome(folder)).secrets.secretKey).toBe([...keys][0]);
    expect((await stat(path.join(folder, SECRET_KEY_FILE))).mode & 0o077).toBe(0);
  });

  it('goes into a new home from a file, and never takes the place of another', async () => {
    const { secrets } = await openHome(path.join(scratch, 'home'));
    const file = path.join(scratch, 'home', SECRET_KEY_FILE);
    const restored = path.join(scratch, 'restored');
    await takeSecretKey(restored, file);
    await takeSecretKey(restored, file);
    expect((await openHome(restored)).secrets.secretKey).toBe(secrets.secretKey);
    const other = path.join(scratch, 'other');
    const { secrets: own } = await openHome(other);
    await expect(takeSecretKey(other, file)).rejects.toThrow('has another secret key already');
    expect((await readFile(path.join(other, SECRET_KEY_FILE), 'utf8')).trim()).toBe(own.secretKey);
    await writeFile(path.join(scratch, 'no-key'), 'hello');
    await expect(takeSecretKey(path.join(scratch, 'new'), path.join(scratch, 'no-key'))).rejects.toThrow(
      'holds no secret key',
    );
  });
});
