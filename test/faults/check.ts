/** Looks for what was lost or doubled, in the database itself and in the files as they are handed out. */
import { readFile, readdir } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Database } from '../../libs/store/database.js';
import { sha256, type Ledger } from './ledger.js';
import { hostOf, withDatabase, type World } from './world.js';

const JOBS_PATIENCE_MS = 120_000;

export interface Verdict {
  readonly lost: string[];
  readonly doubled: string[];
}

export async function check(world: World, ledger: Ledger): Promise<Verdict> {
  const verdict: Verdict = { lost: [], doubled: [] };
  await tryAgain(world, ledger);
  await withDatabase(world, async (database) => {
    await checkMakers(database, ledger, verdict);
    await checkEdits(database, world, ledger, verdict);
    await checkJobs(database, ledger, verdict);
    await checkFeed(database, verdict);
    await checkBundles(database, ledger, verdict);
    await checkMessages(database, world, ledger, verdict);
    await checkBackups(database, world, ledger, verdict);
  });
  await checkFiles(world, ledger, verdict);
  return verdict;
}

/** Work whose program was killed at it again and again is set aside with a reason; a button tries it again. */
async function tryAgain(world: World, ledger: Ledger): Promise<void> {
  const { client } = hostOf(world);
  const { failures } = await client.operations();
  for (const { kind, id, what, reason } of failures) {
    console.error(`Set aside, and tried again: ${what}. ${reason}`);
    await client.retryFailure({ kind, id });
  }
  ledger.triedAgain += failures.length;
}

async function checkMakers(database: Database, ledger: Ledger, { lost, doubled }: Verdict): Promise<void> {
  const { rows } = await database.pool.query<{ name: string; rows: number; lines: number }>(
    `select m."name", count(distinct m."id")::int as "rows", count(h."id")::int as "lines"
     from "Maker" m left join "HistoryEntry" h on h."subjectId" = m."id"::text and h."before" is null
     where m."name" = any($1) group by m."name"`,
    [[...ledger.acknowledged.keys(), ...ledger.unanswered]],
  );
  const found = new Map(rows.map((row) => [row.name, row]));
  for (const name of ledger.acknowledged.keys()) {
    const row = found.get(name);
    if (!row) lost.push(name);
    else if (row.lines < 1) lost.push(`the history of ${name}`);
  }
  for (const { name, rows: count, lines } of rows) {
    if (count > 1 || lines > 1) doubled.push(name);
  }
}

async function checkEdits(
  database: Database,
  { editedMakerId }: World,
  ledger: Ledger,
  { lost, doubled }: Verdict,
): Promise<void> {
  const { rows } = await database.pool.query<{ version: number }>(
    'select "version" from "Maker" where "id" = $1',
    [editedMakerId],
  );
  const edits = (rows[0]?.version ?? 0) - 1;
  if (edits < ledger.edits) lost.push(`${ledger.edits - edits} edits`);
  if (edits > ledger.edits + ledger.unansweredEdits)
    doubled.push(`${edits - ledger.edits - ledger.unansweredEdits} edits`);
}

async function checkJobs(database: Database, ledger: Ledger, { lost, doubled }: Verdict): Promise<void> {
  const unfinished = await untilNone(
    database,
    `select a."id"::text, c."state"::text, c."reason" from "Analysis" a
     join "Computation" c on c."id" = a."computationId" where a."id" = any($1::uuid[]) and c."state" <> 'done'`,
    ledger.analyses,
  );
  lost.push(...unfinished.map((row) => `analysis ${said(row)}`));
  const { rows } = await database.pool.query<{ id: string; times: number }>(
    `select "payload" ->> 'id' as "id", count(*)::int as "times" from "FeedEvent"
     where "type" = 'analysis-finished' and "payload" ->> 'id' = any($1) group by 1`,
    [ledger.analyses],
  );
  const told = new Map(rows.map(({ id, times }) => [id, times]));
  for (const id of ledger.analyses) {
    const times = told.get(id) ?? 0;
    if (times === 0 && !unfinished.some((row) => row.id === id)) lost.push(`the news of analysis ${id}`);
    if (times > 1) doubled.push(`the news of analysis ${id}`);
  }
}

interface Unfinished {
  readonly id: string;
  readonly state: string;
  readonly reason: string | null;
}
const said = ({ id, state, reason }: Unfinished): string => `${id} (${state}${reason ? `: ${reason}` : ''})`;

/** What of the work with these ids has not ended well, once patience has. */
async function untilNone(
  database: Database,
  question: string,
  ids: readonly string[],
): Promise<readonly Unfinished[]> {
  for (const patienceEnds = Date.now() + JOBS_PATIENCE_MS; ; await sleep(200)) {
    const { rows } = await database.pool.query<Unfinished>(question, [ids]);
    if (rows.length === 0 || Date.now() > patienceEnds) return rows;
  }
}

async function checkBundles(database: Database, ledger: Ledger, { lost }: Verdict): Promise<void> {
  const unfinished = await untilNone(
    database,
    `select "id"::text, "state"::text, "reason" from "Publication" where "id" = any($1::uuid[]) and "state" <> 'ready'`,
    ledger.bundles,
  );
  lost.push(...unfinished.map((row) => `bundle ${said(row)}`));
}

/** Sent at least once; always under one id, by which the receiver tells a repetition. */
async function checkMessages(
  database: Database,
  { surroundings }: World,
  ledger: Ledger,
  { lost }: Verdict,
): Promise<void> {
  const unfinished = await untilNone(
    database,
    `select "id"::text, "state"::text, "reason" from "Delivery" where "id" = any($1::uuid[]) and "state" <> 'sent'`,
    ledger.messages,
  );
  lost.push(...unfinished.map((row) => `message ${said(row)}`));
  const arrived = new Set(surroundings.receiver.hits.map(({ headers }) => headers['sojourn-delivery']));
  lost.push(
    ...ledger.messages.filter((id) => !arrived.has(id)).map((id) => `message ${id}, which never arrived`),
  );
}

/**
 * One that was set aside says why, and a later one takes its place. Each is one whole file: its last 64 characters are
 * the SHA-256 of all before them.
 */
async function checkBackups(
  database: Database,
  { installation }: World,
  ledger: Ledger,
  { lost, doubled }: Verdict,
): Promise<void> {
  const unfinished = await untilNone(
    database,
    `select "id"::text, "state"::text, "reason" from "BackupRun" b where "id" = any($1::uuid[]) and "state" <> 'done'
       and not ("state" = 'failed' and "reason" is not null and exists (
         select 1 from "BackupRun" later where later."state" = 'done' and later."startedAt" > b."startedAt"))`,
    ledger.backups,
  );
  lost.push(...unfinished.map((row) => `backup ${said(row)}`));
  const { rows } = await database.pool.query<{ fileName: string }>(
    `select "fileName" from "BackupRun" where "cause" = 'by-hand' and "state" = 'done'`,
  );
  const names = new Set(rows.map(({ fileName }) => fileName));
  if (names.size < rows.length) lost.push('a backup whose file another one took');
  for (const name of names) {
    const bytes = await readFile(path.join(installation.home, 'backups', name)).catch(() => Buffer.alloc(64));
    const sealed = bytes.subarray(0, -64);
    if (sealed.length === 0 || sha256(sealed) !== bytes.subarray(-64).toString('latin1'))
      lost.push(`the file of backup ${name}`);
  }
  const there = await readdir(path.join(installation.home, 'backups')).catch((): string[] => []);
  const unknown = there.filter((name) => name.endsWith('-by-hand.zip') && !names.has(name));
  doubled.push(...unknown.map((name) => `${name}, which no backup made`));
}

/** Numbers without gap or repetition, and nothing asked for that never reached the queue. */
async function checkFeed(database: Database, { lost, doubled }: Verdict): Promise<void> {
  const { rows } = await database.pool.query<{ count: number; last: number; unsent: number }>(
    `select count(*)::int as "count", coalesce(max("number"), 0)::int as "last",
      (select count(*)::int from "OutboxRequest" where "sentAt" is null and "createdAt" < now() - interval '30 seconds') as "unsent"
     from "FeedEvent"`,
  );
  const [{ count, last, unsent } = { count: 0, last: 0, unsent: 0 }] = rows;
  if (count < last) lost.push(`${last - count} numbers of the feed`);
  if (count > last) doubled.push(`${count - last} numbers of the feed`);
  if (unsent > 0) lost.push(`${unsent} requests that never reached the queue`);
}

async function checkFiles(world: World, ledger: Ledger, { lost }: Verdict): Promise<void> {
  const host = hostOf(world);
  for (const { fileId, sha256: told } of ledger.files) {
    const answer = await host.fetch(`/api/files/${fileId}`);
    const bytes = new Uint8Array(await answer.arrayBuffer());
    if (!answer.ok || sha256(bytes) !== told) lost.push(`file ${fileId}`);
  }
}
