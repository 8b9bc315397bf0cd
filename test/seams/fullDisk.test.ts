/** A disk that fills up while a backup is made or restored: nothing half stays, and with room it goes on. */
import { spawn } from 'node:child_process';
import { mkdir, mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../libs/store/database.js';
import { startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import { fillDisk, mountDisk, unmountDisk } from '../faults/disk.js';
import { makeInstallation, type Installation } from './installation.js';
import { setUpOwner, waitFor, type Visitor } from './visitor.js';

const root = path.resolve(import.meta.dirname, '..', '..');
const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-disks-'));
const disks: string[] = [];

async function smallDisk(name: string, megabytes: number): Promise<string | undefined> {
  const place = path.join(folder, name);
  await mkdir(place);
  if (!mountDisk(place, megabytes)) return undefined;
  disks.push(place);
  return place;
}

const forBackups = await smallDisk('backups', 8);
if (!forBackups) console.warn('\n*** SKIPPED: full disks, since this user may not mount a small one. ***\n');

function run(env: NodeJS.ProcessEnv, ...args: string[]): Promise<{ code: number | null; output: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd: root, env });
    let output = '';
    const collect = (chunk: Buffer) => (output += chunk.toString('utf8'));
    child.stdout.on('data', collect);
    child.stderr.on('data', collect);
    child.once('close', (code) => resolve({ code, output }));
  });
}

describe.skipIf(!forBackups)('a full disk', () => {
  let installation: Installation;
  let host: Visitor;
  const whole = path.join(folder, 'whole.zip');
  const restore = (env: NodeJS.ProcessEnv) => run(env, 'scripts/door.mjs', 'restore', whole);
  const left = async (): Promise<string[]> =>
    (await readdir(forBackups ?? '')).filter((name) => !name.startsWith('filler'));

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    const server = await installation.start({ SOJOURN_BACKUPS: forBackups ?? '' });
    host = await setUpOwner(server.url);
    await host.client.addMaker({ name: 'Before the disk was full (invented)' });
  });
  afterAll(async () => {
    await installation.remove();
    disks.forEach(unmountDisk);
    await rm(folder, { recursive: true, force: true });
  });

  it('keeps a backup waiting without a half file, and lets it be made when there is room', async () => {
    const makeRoom = await fillDisk(forBackups ?? '');
    await host.client.makeBackup();
    const command = await run(
      installation.env,
      'scripts/door.mjs',
      'backup',
      path.join(forBackups ?? '', 'by-command.zip'),
    );
    expect(command).toMatchObject({ code: 1 });
    expect(command.output).toMatch(/no space left/i);
    const waiting = await host.client.backups();
    expect(waiting.running).toHaveLength(1);
    expect(waiting.files).toEqual([]);
    expect((await left()).filter((name) => name.endsWith('.zip'))).toEqual([]);

    await makeRoom();
    const { files } = await waitFor(async () => {
      const now = await host.client.backups();
      return now.running.length === 0 ? now : undefined;
    }, 'the backup that waited for room');
    expect(await left()).toEqual([files[0]?.name]);
    const byCommand = await run(installation.env, 'scripts/door.mjs', 'backup', whole);
    expect(byCommand).toMatchObject({ code: 0 });
  });

  it('breaks a restore off with nothing to start on, and the same restore goes on with room', async () => {
    const disk = (await smallDisk('home', 512)) ?? '';
    const home = path.join(disk, 'restored');
    const env = { ...installation.env, SOJOURN_HOME: home };
    const makeRoom = await fillDisk(disk);
    const refused = await restore(env);
    expect(refused).toMatchObject({ code: 1 });
    expect(refused.output).toMatch(/no space left/i);
    await makeRoom();

    // In the middle: the disk fills when its database is there.
    const restoring = restore(env);
    await waitFor(async () => {
      const made = await readdir(path.join(home, 'database')).catch(() => []);
      return made.length > 0 || undefined;
    }, 'a database under the restore');
    const makeRoomAgain = await fillDisk(disk);
    expect((await restoring).code).toBe(1);
    const started = await run(env, 'scripts/start.mjs');
    expect(started).toMatchObject({ code: 1 });
    expect(started.output).toMatch(/was not finished\. Run it again/);
    await makeRoomAgain();
    expect(await restore(env)).toMatchObject({ code: 0 });
    const running = await startEmbeddedDatabase(await openHome(home), () => undefined);
    const database = openDatabase(running.url, 1);
    const makers = await database.prisma.maker.findMany({ select: { name: true } });
    await database.close();
    await running.stop();
    expect(makers).toEqual([{ name: 'Before the disk was full (invented)' }]);
  });
});
