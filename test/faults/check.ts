/** Looks for what was lost or doubled, in the database itself and in the files as they are handed out. */
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
  await withDatabase(world, async (database) => {
    await checkMakers(database, ledger, verdict);
    await checkEdits(database, world, ledger, verdict);
    await checkJobs(database, ledger, verdict);
    await checkFeed(database, verdict);
  });
  await checkFiles(world, ledger, verdict);
  return verdict;
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
  const open = async (): Promise<string[]> => {
    const { rows } = await database.pool.query<{ id: string }>(
      `select a."id"::text as "id" from "Analysis" a join "Computation" c on c."id" = a."computationId"
       where a."id" = any($1::uuid[]) and c."state" <> 'done'`,
      [ledger.analyses],
    );
    return rows.map(({ id }) => id);
  };
  const patienceEnds = Date.now() + JOBS_PATIENCE_MS;
  let unfinished = await open();
  while (unfinished.length > 0 && Date.now() < patienceEnds) {
    await sleep(200);
    unfinished = await open();
  }
  lost.push(...unfinished.map((id) => `analysis ${id}`));
  const { rows } = await database.pool.query<{ id: string; times: number }>(
    `select "payload" ->> 'id' as "id", count(*)::int as "times" from "FeedEvent"
     where "type" = 'analysis-finished' and "payload" ->> 'id' = any($1) group by 1`,
    [ledger.analyses],
  );
  const told = new Map(rows.map(({ id, times }) => [id, times]));
  for (const id of ledger.analyses) {
    const times = told.get(id) ?? 0;
    if (times === 0 && !unfinished.includes(id)) lost.push(`the news of analysis ${id}`);
    if (times > 1) doubled.push(`the news of analysis ${id}`);
  }
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
