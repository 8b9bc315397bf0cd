/**
 * Backups against real installations. What came back is compared row by row and file by file with the tests' own SQL
 * and hashes, never with what the product says of itself.
 */
import { spawn } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { cp, mkdtemp, readdir, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  backupName,
  backupSettings,
  giveUpBackup,
  keptBackups,
  makeBackup,
  openBackup,
  restoreBackup,
  scheduleBackup,
  tidyNightly,
  upgradeDatabase,
} from '../../libs/backup/index.js';
import { folderBlobStore } from '../../libs/blobs/blobStore.js';
import { openDatabase } from '../../libs/store/database.js';
import { liveDatabaseUrl, startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import { migrate, migrationNames } from '../../libs/store/migrate.js';
import { openSnapshot } from '../../libs/store/snapshot.js';
import { inventedImpedance } from './inventedOrbits.js';
import {
  dataBackEnds,
  makeInstallation,
  type BackEnd,
  type Installation,
  type RunningInstallation,
} from './installation.js';
import { join, makeUnit, owner, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

const root = path.resolve(import.meta.dirname, '..', '..');
const migrations = path.join(root, 'prisma', 'migrations');

interface Said {
  readonly code: number | null;
  readonly output: string;
}
function door(env: NodeJS.ProcessEnv, ...args: string[]): Promise<Said> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, ['scripts/door.mjs', ...args], { cwd: root, env });
    let output = '';
    const collect = (chunk: Buffer) => (output += chunk.toString('utf8'));
    child.stdout.on('data', collect);
    child.stderr.on('data', collect);
    child.once('close', (code) => resolve({ code, output }));
  });
}

type Contents = Readonly<Record<string, readonly string[]>>;

async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}

/** Every row of every table as PostgreSQL writes it, sorted. */
const rowsOf = (url: string): Promise<Contents> =>
  withClient(url, async (client) => {
    await client.query(`set time zone 'UTC'`);
    const tables = await client.query<{ name: string }>(
      `select table_name as name from information_schema.tables where table_schema = 'public'
       and table_type = 'BASE TABLE' and table_name <> '_prisma_migrations' order by 1`,
    );
    const contents: Record<string, string[]> = {};
    for (const { name } of tables.rows) {
      const rows = await client.query<{ row: string }>(`select t::text as row from "${name}" t`);
      contents[name] = rows.rows.map(({ row }) => row).sort();
    }
    return contents;
  });

/** Every file of a folder with the hash of its bytes. */
async function filesOf(folder: string): Promise<Record<string, string>> {
  const found = await readdir(folder, { recursive: true, withFileTypes: true });
  const files: Record<string, string> = {};
  for (const entry of found.filter((each) => each.isFile())) {
    const file = path.join(entry.parentPath, entry.name);
    files[path.relative(folder, file)] = createHash('sha256')
      .update(await readFile(file))
      .digest('hex');
  }
  return files;
}

/** A database of that name on the same server as another; both must exist there. */
function sibling(url: string, name: string): string {
  const other = new URL(url);
  other.pathname = `/${name}`;
  return other.href;
}

/** An empty home (and an empty database, where databases are the team's own) to restore into. */
function emptyPlace({ env }: Installation, folder: string, name: string): NodeJS.ProcessEnv {
  const url = env['DATABASE_URL'];
  const redis = env['REDIS_URL'];
  return {
    ...env,
    SOJOURN_HOME: path.join(folder, name),
    ...(url ? { DATABASE_URL: sibling(url, name) } : {}),
    // A Redis that knows nothing of the jobs there were.
    ...(redis ? { REDIS_URL: `${redis}/1` } : {}),
  };
}

/** Of a running installation. Looked up, not adopted: adopting would keep its database alive. */
async function urlOfRunning(env: NodeJS.ProcessEnv): Promise<string> {
  return env['DATABASE_URL'] || ((await liveDatabaseUrl(await openHome(env['SOJOURN_HOME'] ?? ''))) ?? '');
}

/** Into a database and a folder beside, without a command: its parts alone. */
async function restoreInto(file: string, url: string, files: string): Promise<readonly string[]> {
  const opened = await openBackup(file, await migrationNames(migrations));
  try {
    const target = { databaseUrl: url, blobs: folderBlobStore(files), migrationsFolder: migrations };
    return (await restoreBackup(opened, target)).migrated;
  } finally {
    opened.close();
  }
}

async function lookInto<T>(env: NodeJS.ProcessEnv, work: (url: string) => Promise<T>): Promise<T> {
  if (env['DATABASE_URL']) return work(env['DATABASE_URL']);
  const running = await startEmbeddedDatabase(await openHome(env['SOJOURN_HOME'] ?? ''), () => undefined);
  try {
    return await work(running.url);
  } finally {
    await running.stop();
  }
}

async function expectNothingWritten({ SOJOURN_HOME = '', DATABASE_URL }: NodeJS.ProcessEnv): Promise<void> {
  await expect(stat(SOJOURN_HOME)).rejects.toThrow('ENOENT');
  if (!DATABASE_URL) return;
  await expect(rowsOf(DATABASE_URL)).rejects.toThrow('does not exist');
}

/** A new home, but the team's own database is filled. */
async function expectFilledDatabaseRefused(
  place: NodeJS.ProcessEnv,
  file: string,
  newHome: string,
): Promise<void> {
  if (!place['DATABASE_URL']) return;
  const { output } = await door({ ...place, SOJOURN_HOME: newHome }, 'restore', file);
  expect(output).toMatch(/DATABASE_URL is not empty/);
  await expect(stat(newHome)).rejects.toThrow('ENOENT');
}

describe.each(dataBackEnds)('a backup under way on %s', (backEnd: BackEnd) => {
  let installation: Installation;
  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
  });
  afterAll(() => installation.remove());

  it('is broken off when the program is told to stop, and made after the next start', async () => {
    const server = await installation.start();
    const host = await setUpOwner(server.url);
    // So much that it takes seconds to pack.
    const { sha256, bytes } = await folderBlobStore(path.join(installation.home, 'blobs')).keep(
      randomBytes(300_000_000),
    );
    await withClient(await urlOfRunning(installation.env), (client) =>
      client.query(`insert into "Blob" ("sha256", "bytes", "mediaType") values ($1, $2, 'text/plain')`, [
        sha256,
        bytes,
      ]),
    );
    await host.client.makeBackup();
    const backups = path.join(installation.home, 'backups');
    const begun = async () => {
      const parts = (await readdir(backups).catch(() => [])).filter((name) => name.endsWith('.part'));
      const sizes = await Promise.all(parts.map(async (name) => (await stat(path.join(backups, name))).size));
      return sizes.some((size) => size > 10_000_000) ? true : undefined;
    };
    await waitFor(begun, 'a backup under way');
    expect(await server.stop()).toBe(0);
    expect(await readdir(backups)).toEqual([]);

    const again = await installation.start();
    const back = visit(again.url, host.cookie());
    const made = await waitFor(
      async () => (await back.client.backups()).files[0],
      'the backup to be made',
      60_000,
    );
    expect(made.bytes).toBeGreaterThan(300_000_000);
  });
});

describe.each(dataBackEnds)('backups on %s', (backEnd: BackEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  let folder: string;
  let setId: string;
  let notesId: string;
  let quiet: string;
  let quietRows: Contents;
  const computedFile = Buffer.from('a file that only a computation names');
  const computedSha = createHash('sha256').update(computedFile).digest('hex');

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-backups-'));
    installation = await makeInstallation(backEnd);
    // Without a worker: what is asked for stays in the queue.
    server = await installation.start({ SOJOURN_ROLE: 'api' });
    host = await setUpOwner(server.url);
    const { unit } = await makeUnit(host);
    const set = await host.client.addSet(unit.id, { name: 'Impedance' });
    setId = set.id;
    notesId = (await host.client.addSet(unit.id, { name: 'Notes' })).id;
    await host.put(setId, 'impedance.csv', inventedImpedance(5).bytes);
    await host.client.addMaker({ name: 'Tab\tand \\N and “quotes”\nin lines (invented)', notes: '' });
    const url = await urlOfRunning(installation.env);
    await folderBlobStore(path.join(installation.home, 'blobs')).keep(computedFile);
    await withClient(url, (client) =>
      client.query(
        `insert into "Computation" ("id", "algorithmVersion", "settings", "inputs", "state", "series", "result")
         values ('done-before', '0', '{"a": 0.1}', 'null', 'done', $1, null)`,
        [computedSha],
      ),
    );
  });
  afterAll(async () => {
    await installation.remove();
    await rm(folder, { recursive: true, force: true });
  });

  it('is one moment of the database, taken while others write', async () => {
    const file = path.join(folder, 'busy.zip');
    const enough = new AbortController();
    const writers = Array.from({ length: 2 }, async (_, writer) => {
      for (let at = 0; !enough.signal.aborted; at++) {
        await host.client.addMaker({ name: `Maker ${writer} ${at} (invented)` });
        await host.put(notesId, `note-${writer}-${at}.txt`, `note ${writer} ${at}`);
        await sleep(60);
      }
    });
    const said = await door(installation.env, 'backup', file);
    // They wrote before it, during it and after it.
    const countMakers = async () => (await host.client.makers()).length;
    const then = await countMakers();
    await waitFor(async () => ((await countMakers()) > then ? true : undefined), 'another write');
    enough.abort();
    await Promise.all(writers);
    expect(said).toMatchObject({ code: 0, output: expect.stringContaining('keep it safe') as string });
    const running = await urlOfRunning(installation.env);
    const url = sibling(running, 'busy');
    const files = path.join(folder, 'busy-files');
    await restoreInto(file, url, files);
    await compareWithLater(url, running, files);
  });

  /** @param files the folder of the restored files */
  async function compareWithLater(url: string, running: string, files: string): Promise<void> {
    const now = await rowsOf(running);
    const then = await rowsOf(url);
    // What is only ever added: all that was there then is there now, unchanged.
    for (const table of ['Maker', 'Blob', 'SetFile', 'FeedEvent', 'HistoryEntry']) {
      const stillThere = new Set(now[table]);
      expect(then[table]?.filter((row) => !stillThere.has(row))).toEqual([]);
    }
    expect(then['Maker']?.length).toBeLessThan(now['Maker']?.length ?? 0);
    // One change writes all of these together: a backup between two tables would tear them apart.
    await withClient(url, async (client) => {
      const { rows } = await client.query(
        `select (select "number"::int from "FeedCounter") = (select count(*)::int from "FeedEvent") as feed,
             (select count(*) from "FeedEvent" where "type" = 'maker-changed')
               = (select count(*) from "Maker") as makers,
             (select count(*) from "SetFile") as files,
             (select count(*) from "SetFile" f join "Blob" b using ("sha256")) as kept`,
      );
      expect(rows[0]).toMatchObject({ feed: true, makers: true });
      expect(rows[0].files).toBe(rows[0].kept);
      const named = await client.query<{ sha256: string }>('select "sha256" from "Blob"');
      const held = new Set(Object.values(await filesOf(files)));
      expect(named.rows.filter(({ sha256 }) => !held.has(sha256))).toEqual([]);
    });
  }

  it('comes back the same, row by row and file by file', async () => {
    await host.client.requestAnalysis(setId);
    // The request has left the outbox for the queue.
    const url = await urlOfRunning(installation.env);
    await waitFor(
      () =>
        withClient(url, async (client) => {
          const waiting = await client.query(`select 1 from "OutboxRequest" where "sentAt" is null`);
          return waiting.rows.length === 0 ? true : undefined;
        }),
      'the outbox to be empty',
    );
    quiet = path.join(folder, 'quiet.zip');
    expect(await door(installation.env, 'backup', quiet)).toMatchObject({ code: 0 });
    quietRows = await rowsOf(url);
    const place = emptyPlace(installation, folder, 'quietly');
    expect(await door(place, 'restore', quiet)).toMatchObject({ code: 0 });
    await lookInto(place, async (restored) => {
      expect(await rowsOf(restored)).toEqual(quietRows);
      // The comparison can fail: one changed value is seen.
      await withClient(restored, (client) =>
        client.query(`update "Maker" set "notes" = 'x' where "notes" = ''`),
      );
      expect(await rowsOf(restored)).not.toEqual(quietRows);
    });
    const files = await filesOf(path.join(place['SOJOURN_HOME'] ?? '', 'blobs'));
    expect(files).toEqual(await filesOf(path.join(installation.home, 'blobs')));
    expect(Object.values(files)).toContain(computedSha);
  });

  it('refuses a home that is not empty, and a backup over another', async () => {
    const place = emptyPlace(installation, folder, 'quietly');
    const before = await lookInto(place, rowsOf);
    const again = await door(place, 'restore', quiet);
    expect(again).toMatchObject({ code: 1, output: expect.stringMatching(/is not empty/) as string });
    expect(await lookInto(place, rowsOf)).toEqual(before);
    await expectFilledDatabaseRefused(place, quiet, path.join(folder, 'elsewhere'));
    const size = (await stat(quiet)).size;
    expect(await door(installation.env, 'backup', quiet)).toMatchObject({ code: 1 });
    expect((await stat(quiet)).size).toBe(size);
  });

  it('refuses a damaged or cut archive before anything is written', async () => {
    const known = await migrationNames(migrations);
    (await openBackup(quiet, known)).close();
    const whole = await readFile(quiet);
    const places = [0, 1, 40, whole.length - 1, whole.length - 70, whole.length - 300];
    for (let part = 1; part < 10; part++) places.push(Math.floor((whole.length * part) / 10));
    const copy = path.join(folder, 'damaged.zip');
    for (const at of places) {
      const harmed = Buffer.from(whole);
      harmed[at] = (harmed[at] ?? 0) ^ 1;
      await writeFile(copy, harmed);
      await expect(openBackup(copy, known), `byte ${at}`).rejects.toThrow(/damaged or cut short/);
    }
    for (const length of [0, 10, Math.floor(whole.length / 2), whole.length - 1]) {
      await cp(quiet, copy);
      await truncate(copy, length);
      await expect(openBackup(copy, known), `cut to ${length}`).rejects.toThrow(/damaged or cut short/);
    }
    const place = emptyPlace(installation, folder, 'harmed');
    const said = await door(place, 'restore', copy);
    expect(said).toMatchObject({ code: 1, output: expect.stringContaining('Nothing was written') as string });
    await expectNothingWritten(place);
  });

  it('refuses an archive of a newer version, by its tables and by its format', async () => {
    const known = await migrationNames(migrations);
    await expect(openBackup(quiet, known.slice(0, -1))).rejects.toThrow(/newer Sojourn/);
  });

  it('goes on with what was in the queue, and lets the same people in', async () => {
    await server.stop();
    const place = emptyPlace(installation, folder, 'quietly');
    server = await installation.start(place);
    host = visit(server.url);
    await host.client.signIn({ email: owner.email, password: owner.password });
    const state = await waitFor(async () => {
      const [analysis] = (await host.client.set(setId)).analyses;
      return analysis && ['done', 'refused', 'quarantined'].includes(analysis.state)
        ? analysis.state
        : undefined;
    }, 'the analysis that was asked for before the backup');
    expect(state).toBe('done');
  });

  it('is made, listed, taken home and removed from the interface, by the owner alone', async () => {
    await host.client.makeBackup();
    const { files } = await waitFor(async () => {
      const view = await host.client.backups();
      return view.running.length === 0 && view.files.length > 0 ? view : undefined;
    }, 'the backup');
    const [made] = files;
    expect(made?.cause).toBe('by-hand');
    const answer = await host.fetch(`/api/backups/files/${made?.name}`);
    const file = path.join(folder, 'taken-home.zip');
    await writeFile(file, Buffer.from(await answer.arrayBuffer()));
    const opened = await openBackup(file, await migrationNames(migrations));
    expect(opened.manifest.teamName).toBe(owner.teamName);
    opened.close();

    const editor = await join(host, 'editor', 'Ewa Holm');
    expect((await editor.fetch(`/api/backups/files/${made?.name}`)).status).toBe(403);
    for (const name of ['..%2Fsecrets.json', '%2Fetc%2Fpasswd', 'secrets.json', 'sojourn-x.zip'])
      expect((await host.fetch(`/api/backups/files/${name}`)).status).toBe(404);
    await host.client.removeBackup(made?.name ?? '');
    expect((await host.client.backups()).files).toEqual([]);

    const { plan } = await host.client.changeBackupPlan({ version: 0, at: '04:30', keepDaily: 3 });
    expect(plan).toMatchObject({ at: '04:30', keepDaily: 3, keepWeekly: 4, nightly: true, version: 1 });
    expect((await refusalOf(host.client.changeBackupPlan({ version: 0, keepDaily: 9 }))).status).toBe(409);
    const sentences = (await host.client.history()).map(({ sentence }) => sentence);
    expect(sentences).toContain(`removed a backup: ${made?.name}`);
    expect(sentences).toContain('changed when backups are made');
  });

  it('was made when its file came into place, though its program ended again and again', async () => {
    const database = openDatabase(await urlOfRunning(emptyPlace(installation, folder, 'quietly')), 2);
    const backups = backupSettings({}, folder, root);
    const begin = async (startedAt: Date) =>
      database.prisma.backupRun.create({ data: { cause: 'by-hand', askedBy: owner.name, startedAt } });
    const [whole, none] = [await begin(new Date('2026-02-03T04:05:06Z')), await begin(new Date())];
    const name = backupName('by-hand', whole.startedAt);
    await writeFile(path.join(folder, name), 'whole');
    for (const { id } of [whole, none]) await giveUpBackup({ database, backups }, id, 'It ended four times.');
    const ended = await database.prisma.backupRun.findMany({
      where: { id: { in: [whole.id, none.id] } },
      orderBy: { startedAt: 'asc' },
    });
    await database.close();
    expect(ended).toMatchObject([
      { state: 'done', fileName: name, bytes: 5n, reason: null },
      { state: 'failed', fileName: null, reason: 'It ended four times.' },
    ]);
  });

  it('is made once a night, however many look, and the old ones go', async () => {
    const place = emptyPlace(installation, folder, 'quietly');
    const url = await urlOfRunning(place);
    const database = openDatabase(url, 4);
    const tomorrow = new Date(Date.now() + 86_400_000);
    const looked = await Promise.all([1, 2, 3, 4].map(() => scheduleBackup(database, tomorrow)));
    expect(looked.filter(Boolean)).toHaveLength(1);
    const nightly = async () =>
      (await host.client.backups()).files.filter(({ cause }) => cause === 'nightly');
    await waitFor(async () => ((await nightly()).length === 1 ? true : undefined), 'the nightly backup');

    const where = (await host.client.backups()).folder;
    const day = (back: number) => new Date(Date.now() - back * 86_400_000);
    for (let back = 1; back <= 40; back++)
      await writeFile(path.join(where, backupName('nightly', day(back))), 'x');
    const byHand = backupName('by-hand', day(400));
    await writeFile(path.join(where, byHand), 'x');
    await writeFile(path.join(where, 'holiday.txt'), 'x');
    await tidyNightly(database, where);
    await database.close();
    const kept = await nightly();
    // Three days are kept (as chosen above), and the newest of four weeks: one of them is among the days, on a Monday
    // or Tuesday two are.
    expect(kept.length).toBeGreaterThanOrEqual(5);
    expect(kept.length).toBeLessThanOrEqual(6);
    expect(await readdir(where)).toEqual(expect.arrayContaining([byHand, 'holiday.txt']));
  });

  it('refuses data of a newer version before anything is written', async () => {
    const place = emptyPlace(installation, folder, 'quietly');
    const url = await urlOfRunning(place);
    await withClient(url, (client) =>
      client.query(
        `insert into _prisma_migrations (id, checksum, migration_name, finished_at, applied_steps_count)
         values ('later', '', '29990101_9999_later', now(), 1)`,
      ),
    );
    const newer = path.join(folder, 'newer.zip');
    expect(await door(place, 'backup', newer)).toMatchObject({ code: 0 });
    await server.stop();
    const before = await lookInto(place, rowsOf);
    await expect(installation.start(place)).rejects.toThrow(
      /used by a newer Sojourn \(it has 29990101_9999_later\).*nothing was changed/,
    );
    expect(await lookInto(place, rowsOf)).toEqual(before);
    const target = emptyPlace(installation, folder, 'target');
    const said = await door(target, 'restore', newer);
    expect(said).toMatchObject({ code: 1, output: expect.stringContaining('29990101_9999_later') as string });
    await expectNothingWritten(target);
  });
});

describe('an upgrade', () => {
  let folder: string;
  let stop: () => Promise<void>;
  let url: string;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-upgrade-'));
    const running = await startEmbeddedDatabase(await openHome(folder), () => undefined);
    stop = () => running.stop();
    url = running.url;
  });
  afterAll(async () => {
    await stop();
    await rm(folder, { recursive: true, force: true });
  });

  it('keeps a backup of what was there before it changes anything, and that one can be restored', async () => {
    const known = await migrationNames(migrations);
    const earlier = known.slice(0, -1);
    await migrate(url, migrations, earlier);
    await withClient(url, (client) =>
      client.query(`insert into "Installation" ("name", "timeZone") values ('Earlier (invented)', 'UTC')`),
    );
    const blobs = folderBlobStore(path.join(folder, 'blobs'));
    const backups = backupSettings({}, path.join(folder, 'backups'), root);
    const lines: string[] = [];
    const applied = await upgradeDatabase({ databaseUrl: url, blobs, backups }, (line) => lines.push(line));
    expect(applied).toEqual(known.slice(-1));
    const [kept] = await keptBackups(backups.folder);
    expect(kept?.cause).toBe('before-upgrade');
    expect(lines.join()).toContain(kept?.name);
    // A second start finds nothing to do and makes none.
    await upgradeDatabase({ databaseUrl: url, blobs, backups }, () => undefined);
    expect(await keptBackups(backups.folder)).toHaveLength(1);

    const restored = sibling(url, 'older');
    const file = path.join(backups.folder, kept?.name ?? '');
    expect(await restoreInto(file, restored, path.join(folder, 'older'))).toEqual(known.slice(-1));
    const rows = await rowsOf(restored);
    expect(rows['Installation']).toEqual((await rowsOf(url))['Installation']);
    expect(Object.keys(rows)).toContain('BackupPlan');
  });

  it('changes nothing when that backup cannot be made', async () => {
    const database = sibling(url, 'unwritable');
    const known = await migrationNames(migrations);
    await migrate(database, migrations, known.slice(0, -1));
    await withClient(database, (client) =>
      client.query(`insert into "Installation" ("name", "timeZone") values ('Earlier (invented)', 'UTC')`),
    );
    const blobs = folderBlobStore(path.join(folder, 'blobs'));
    // A file stands where the folder should be.
    await writeFile(path.join(folder, 'taken'), '');
    const backups = backupSettings({}, path.join(folder, 'taken'), root);
    const upgrade = upgradeDatabase({ databaseUrl: database, blobs, backups }, () => undefined);
    await expect(upgrade).rejects.toThrow(/Nothing was changed/);
    const applied = await withClient(database, (client) =>
      client.query<{ name: string }>('select migration_name as name from _prisma_migrations order by 1'),
    );
    expect(applied.rows.map(({ name }) => name)).toEqual(known.slice(0, -1));
  });

  it('goes on after rows that were larger than what was ready to take them', async () => {
    const database = sibling(url, 'wide');
    await migrate(database, migrations, await migrationNames(migrations));
    await withClient(database, (client) =>
      client.query(
        `insert into "Maker" ("id", "name", "notes") values (gen_random_uuid(), 'Wide (invented)', repeat('x', 300000))`,
      ),
    );
    const snapshot = await openSnapshot(database);
    const makers = snapshot.copyOut({ name: 'Maker', columns: ['name', 'notes'] });
    await sleep(500);
    let bytes = 0;
    for await (const chunk of makers) bytes += (chunk as Buffer).length;
    expect(bytes).toBeGreaterThan(300_000);
    expect(await snapshot.teamName()).toBe('');
    await snapshot.close();
  });

  it('leaves no half archive when a file has lost its content', async () => {
    const blobs = folderBlobStore(path.join(folder, 'rotten'));
    const { sha256 } = await blobs.keep(Buffer.from('whole'));
    await writeFile(path.join(folder, 'rotten', sha256.slice(0, 2), sha256), 'worm');
    await withClient(url, (client) =>
      client.query(`insert into "Blob" ("sha256", "bytes", "mediaType") values ($1, 5, 'text/plain')`, [
        sha256,
      ]),
    );
    const file = path.join(folder, 'never.zip');
    const made = makeBackup({ databaseUrl: url, blobs, application: '0' }, file);
    await expect(made).rejects.toThrow(/no longer has the content/);
    expect((await readdir(folder)).filter((name) => name.startsWith('never'))).toEqual([]);
  });
});
