/** Adding links to the history, in the order of commits and without gaps. */
import { randomUUID } from 'node:crypto';
import pg from 'pg';
import type { Tx } from './database.js';
import { CHAIN_BEGIN, makeLink, type LinkContent } from './historyLink.js';

export interface NewEntry extends Omit<LinkContent, 'id'> {
  readonly actorName: string;
  /** Now, unless the line tells of something earlier. */
  readonly at?: Date | undefined;
}

/**
 * Writes entries as the newest links. The head stays locked until the transaction ends: call it late, and lock
 * nothing after it but the feed's counter.
 */
export async function appendHistory(tx: Tx, entries: readonly NewEntry[]): Promise<void> {
  const heads = await tx.$queryRaw<{ number: bigint; hash: string }[]>`
    select "number", "hash" from "HistoryHead" where "id" = 1 for update`;
  const head = heads[0];
  if (!head) throw new Error('The head of the history is missing: the database was not migrated.');
  let { number, hash } = head;
  const now = new Date();
  const rows = entries.map(({ at = now, ...said }) => {
    number += 1n;
    const content = { id: randomUUID(), ...said };
    const link = makeLink(hash, { number, at }, content);
    ({ hash } = link);
    return { ...content, ...link, at: at.toISOString(), number: number.toString() };
  });
  // One way to the database: others wait for the head.
  await tx.$executeRaw`
    with written as (
      insert into "HistoryEntry" ("id", "number", "at", "actorId", "actorName", "action", "loanId", "subject",
        "subjectId", "sentence", "before", "after", "reason", "nameSalt", "nameHash", "salt", "contentHash", "hash")
      select "id", "number", "at", "actorId", "actorName", "action", "loanId", "subject",
        "subjectId", "sentence", "before", "after", "reason", "nameSalt", "nameHash", "salt", "contentHash", "hash"
      from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as line("id" uuid, "number" bigint, "at" timestamptz,
        "actorId" uuid, "actorName" text, "action" text, "loanId" uuid, "subject" text, "subjectId" text,
        "sentence" text, "before" jsonb, "after" jsonb, "reason" text, "nameSalt" text, "nameHash" text, "salt" text,
        "contentHash" text, "hash" text))
    update "HistoryHead" set "number" = ${number}, "hash" = ${hash} where "id" = 1`;
}

const BATCH = 1000;

/**
 * Makes links of the entries that were written before there was a chain, oldest first. Once: what has a number keeps
 * it, and of several servers that start together one does it.
 *
 * @returns how many
 */
export async function chainEarlierHistory(url: string): Promise<number> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    const some = await client.query('select 1 from "HistoryEntry" where "number" is null limit 1');
    if (some.rowCount === 0) return 0;
    await client.query('begin');
    const head = await client.query<{ number: string; hash: string }>(
      'select "number", "hash" from "HistoryHead" where "id" = 1 for update',
    );
    let last = { number: BigInt(head.rows[0]?.number ?? 0), hash: head.rows[0]?.hash ?? CHAIN_BEGIN };
    const first = last.number;
    for (;;) {
      const next = await chainBatch(client, last);
      if (next.number === last.number) break;
      last = next;
    }
    await client.query('update "HistoryHead" set "number" = $1, "hash" = $2 where "id" = 1', [
      last.number.toString(),
      last.hash,
    ]);
    await client.query('commit');
    return Number(last.number - first);
  } finally {
    await client.end();
  }
}

type EarlierRow = LinkContent & { readonly actorName: string; readonly at: Date };

async function chainBatch(client: pg.Client, last: { number: bigint; hash: string }) {
  const { rows } = await client.query<EarlierRow>(
    `select "id", "at", "actorId", "actorName", "action", "loanId", "subject", "subjectId", "sentence", "before",
       "after", "reason"
     from "HistoryEntry" where "number" is null order by "at", "id" limit ${BATCH}`,
  );
  let { number, hash } = last;
  const links = rows.map((row) => {
    number += 1n;
    const link = makeLink(hash, { number, at: row.at }, row);
    ({ hash } = link);
    return { id: row.id, number: number.toString(), ...link };
  });
  await client.query(
    `update "HistoryEntry" e set "number" = l."number", "nameSalt" = l."nameSalt", "nameHash" = l."nameHash",
       "salt" = l."salt", "contentHash" = l."contentHash", "hash" = l."hash"
     from jsonb_to_recordset($1::jsonb) as l("id" uuid, "number" bigint, "nameSalt" text, "nameHash" text,
       "salt" text, "contentHash" text, "hash" text)
     where e."id" = l."id"`,
    [JSON.stringify(links)],
  );
  return { number, hash };
}
