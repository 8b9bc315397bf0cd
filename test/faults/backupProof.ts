/**
 * A backup taken by the command while people work, restored by the command into an empty home, and compared row by row
 * and file by file. The comparing shares nothing with the code that makes and restores backups: the archive is read
 * here, rows are asked for in SQL of its own, and every file is hashed again.
 */
import { spawn } from 'node:child_process';
import { mkdtemp, readFile, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { unzipSync } from 'fflate';
import pg from 'pg';
import { openHome } from '../../libs/store/home.js';
import { startEmbeddedDatabase, urlOf } from '../../libs/store/embeddedDatabase.js';
import type { BackEnd } from '../seams/installation.js';
import { inOneWorld, isKept, nothingYet, sayTotal } from './campaign.js';
import { sha256, type Ledger } from './ledger.js';
import { startLoad } from './load.js';
import { projectRoot, type World } from './world.js';

interface Counts {
  tables: number;
  rows: number;
  files: number;
  readonly differences: string[];
}

/** @returns whether the restored installation is the same as the archive, and the archive holds all it must */
export async function proveBackup(backEnd: BackEnd, seed: number): Promise<boolean> {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-proof-'));
  const total = nothingYet();
  const counts: Counts = { tables: 0, rows: 0, files: 0, differences: [] };
  let during = 0;
  try {
    await inOneWorld(backEnd, total, async (world, ledger) => {
      const file = path.join(folder, 'under-load.zip');
      const load = startLoad(() => world.now, seed, ledger);
      let before: readonly string[];
      try {
        await until(() => ledger.analyses.length >= 5, 'some work');
        before = [...ledger.acknowledged.keys()];
        await run(world.now.installation.env, 'backup', file);
        during = ledger.acknowledged.size - before.length;
        const then = ledger.acknowledged.size;
        await until(() => ledger.acknowledged.size > then + 5, 'writes after the backup');
      } finally {
        await load.stop();
      }
      await compare(world.now, ledger, { file, folder, before }, counts);
    });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  for (const difference of counts.differences) console.error(`DIFFERENT: ${difference}`);
  console.log(
    `${backEnd}: a backup while people worked (${during} of their writes came in meanwhile), restored into an empty home: ` +
      `${counts.rows} rows of ${counts.tables} tables and ${counts.files} files compared, ${counts.differences.length} differences`,
  );
  console.log(`  the installation itself: ${sayTotal(total)}`);
  return isKept(total) && counts.differences.length === 0 && counts.rows > 0;
}

interface Taken {
  readonly file: string;
  readonly folder: string;
  /** Names of makers that were acknowledged before it began. */
  readonly before: readonly string[];
}

async function compare(world: World, ledger: Ledger, taken: Taken, counts: Counts): Promise<void> {
  const home = path.join(taken.folder, 'restored');
  const { DATABASE_URL: url } = world.installation.env;
  const target = url ? named(url, 'restored') : undefined;
  const env = {
    ...world.installation.env,
    SOJOURN_HOME: home,
    ...(target ? { DATABASE_URL: target } : {}),
  };
  await run(env, 'restore', taken.file);
  const running = target ? undefined : await startEmbeddedDatabase(await openHome(home), () => undefined);
  const archive = unzipSync(await readFile(taken.file));
  try {
    await withClient(target ?? running?.url ?? '', async (restored) => {
      await compareRows(archive, restored, counts);
      await compareFiles(archive, path.join(home, 'blobs'), restored, counts);
      await expectAcknowledged(restored, taken.before, counts);
      await withClient(url ?? (await urlOfRunning(world)), (source) =>
        expectStillThere(restored, source, counts),
      );
    });
  } finally {
    await running?.stop();
  }
  if (ledger.acknowledged.size <= taken.before.length) counts.differences.push('nobody wrote meanwhile');
}

interface Manifest {
  readonly tables: readonly { readonly name: string; readonly columns: readonly string[] }[];
}

/** Each row of the archive with each row of the restored table, in PostgreSQL's text form of every value. */
async function compareRows(
  archive: Readonly<Record<string, Uint8Array>>,
  restored: pg.Client,
  counts: Counts,
): Promise<void> {
  const manifest = JSON.parse(textOf(archive['manifest.json'])) as Manifest;
  for (const { name, columns } of manifest.tables) {
    const kept = textOf(archive[`tables/${name}.tsv`]).split('\n').slice(0, -1).map(plainRow).toSorted();
    const values = columns.map(
      (column) => `case when "${column}" is null then null else format('%s', "${column}") end`,
    );
    const { rows } = await restored.query<{ row: (string | null)[] }>(
      `select array[${values.join(', ')}]::text[] as "row" from "${name}"`,
    );
    const found = rows.map(({ row }) => JSON.stringify(row)).toSorted();
    counts.tables++;
    counts.rows += found.length;
    if (kept.length !== found.length)
      counts.differences.push(`${name}: ${kept.length} rows in the archive, ${found.length} restored`);
    const at = kept.findIndex((row, index) => row !== found[index]);
    if (at >= 0) counts.differences.push(`${name}: ${kept[at]} became ${found[at] ?? 'nothing'}`);
  }
}

const ESCAPED: Readonly<Record<string, string>> = { b: '\b', f: '\f', n: '\n', r: '\r', t: '\t', v: '\v' };

/** A line of COPY's text format (PostgreSQL's manual, COPY, "Text Format") as its plain values. */
function plainRow(line: string): string {
  const values = line.split('\t').map((value) => {
    if (value === '\\N') return null;
    return value.replaceAll(/\\(.)/g, (_whole, sign: string) => ESCAPED[sign] ?? sign);
  });
  return JSON.stringify(values);
}

async function compareFiles(
  archive: Readonly<Record<string, Uint8Array>>,
  folder: string,
  restored: pg.Client,
  counts: Counts,
): Promise<void> {
  const found = new Map<string, string>();
  for (const entry of await readdir(folder, { recursive: true, withFileTypes: true })) {
    if (entry.isFile())
      found.set(entry.name, sha256(await readFile(path.join(entry.parentPath, entry.name))));
  }
  const kept = Object.keys(archive).filter((name) => name.startsWith('files/'));
  counts.files += found.size;
  for (const name of kept) {
    const hash = name.slice('files/'.length);
    if (sha256(archive[name] ?? new Uint8Array()) !== hash) counts.differences.push(`${name} in the archive`);
    if (found.get(hash) !== hash) counts.differences.push(`${name} is not there as it was`);
  }
  if (found.size !== kept.length)
    counts.differences.push(`${kept.length} files in the archive, ${found.size} restored`);
  const { rows } = await restored.query<{ sha256: string }>('select "sha256" from "Blob"');
  for (const { sha256: hash } of rows)
    if (!found.has(hash)) counts.differences.push(`file ${hash}, which a row names, is not there`);
}

async function expectAcknowledged(
  restored: pg.Client,
  before: readonly string[],
  counts: Counts,
): Promise<void> {
  const { rows } = await restored.query<{ name: string }>('select "name" from "Maker"');
  const there = new Set(rows.map(({ name }) => name));
  for (const name of before)
    if (!there.has(name)) counts.differences.push(`${name} was acknowledged before the backup began`);
}

/** What is only ever added is in the running installation as it was in the backup; the feed has no gap. */
async function expectStillThere(restored: pg.Client, source: pg.Client, counts: Counts): Promise<void> {
  for (const table of ['Blob', 'SetFile', 'FeedEvent', 'HistoryEntry', 'Analysis']) {
    const rowsOf = async (client: pg.Client) =>
      (await client.query<{ row: string }>(`select t::text as "row" from "${table}" t`)).rows;
    const now = new Set((await rowsOf(source)).map(({ row }) => row));
    const then = await rowsOf(restored);
    const gone = then.filter(({ row }) => !now.has(row)).length;
    if (gone > 0) counts.differences.push(`${table}: ${gone} rows of the backup never were`);
  }
  const { rows } = await restored.query<{ gapless: boolean }>(
    `select (select "number" from "FeedCounter") = (select count(*) from "FeedEvent") as "gapless"`,
  );
  if (!rows[0]?.gapless) counts.differences.push('the feed has a gap: the backup is not one moment');
}

const textOf = (bytes: Uint8Array | undefined): string => Buffer.from(bytes ?? []).toString('utf8');

function named(url: string, name: string): string {
  const other = new URL(url);
  other.pathname = `/${name}`;
  return other.href;
}

async function urlOfRunning({ installation }: World): Promise<string> {
  const { secrets } = await openHome(installation.home);
  const lock = await readFile(path.join(installation.home, 'database', 'postmaster.pid'), 'utf8');
  return urlOf(Number(lock.split('\n')[3]), secrets.databasePassword, 'sojourn');
}

async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(`set time zone 'UTC'`);
    return await work(client);
  } finally {
    await client.end();
  }
}

async function until(look: () => boolean, what: string): Promise<void> {
  for (const patienceEnds = Date.now() + 60_000; !look(); await sleep(50))
    if (Date.now() > patienceEnds) throw new Error(`Waited in vain for ${what}.`);
}

/** One of the commands people use. @throws when it does not end with 0 */
async function run(env: NodeJS.ProcessEnv, ...args: string[]): Promise<void> {
  const child = spawn(process.execPath, ['scripts/door.mjs', ...args], {
    cwd: projectRoot(import.meta.dirname),
    env,
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk: Buffer) => (said += chunk.toString('utf8')));
  const code = await new Promise((resolve) => child.once('close', resolve));
  if (code !== 0) throw new Error(`${args[0]} ended with ${String(code)}: ${said}`);
}
