/** Going through the whole history link by link: the first that does not fit, and why. */
import { setImmediate as breathe } from 'node:timers/promises';
import type pg from 'pg';
import type { HistoryBreak } from '../contracts/index.js';
import type { Database } from './database.js';
import { ERASING, type Erased } from './historyErasing.js';
import { CHAIN_BEGIN, contentHashOf, linkHashOf, nameHashOf, type LinkContent } from './historyLink.js';

/** A place of the chain written down earlier: it must still go through there. */
export interface NotedPlace {
  readonly number: bigint;
  readonly hash: string;
}

export interface HistoryChecked {
  /** The newest link, as far as the chain holds. */
  readonly number: bigint;
  readonly hash: string;
  readonly broken?: { readonly number: bigint; readonly how: HistoryBreak };
}

interface Row extends LinkContent {
  readonly number: string;
  readonly at: Date;
  readonly actorName: string;
  readonly nameSalt: string | null;
  readonly nameHash: string | null;
  readonly nameErasedAt: Date | null;
  readonly salt: string | null;
  readonly contentHash: string | null;
  readonly erasedAt: Date | null;
  readonly hash: string | null;
}

const BATCH = 500;

/** One moment of the database; what is written meanwhile is not looked at. @param noted places written down */
export async function checkHistory(
  database: Database,
  noted: readonly NotedPlace[] = [],
): Promise<HistoryChecked> {
  const client = await database.pool.connect();
  try {
    await client.query('begin isolation level repeatable read read only');
    return await walk(client, noted);
  } finally {
    await client.query('rollback').catch(() => undefined);
    client.release();
  }
}

async function walk(client: pg.PoolClient, noted: readonly NotedPlace[]): Promise<HistoryChecked> {
  const erasing = new Erasing();
  let last = { number: 0n, hash: CHAIN_BEGIN };
  for (;;) {
    const rows = await batchAfter(client, last.number);
    for (const row of rows) {
      const how = breakOf(row, last) ?? breakOfNoted(row, noted);
      if (how)
        return {
          ...last,
          broken: { number: how === 'removed' ? last.number + 1n : BigInt(row.number), how },
        };
      erasing.look(row);
      last = { number: BigInt(row.number), hash: row.hash ?? '' };
    }
    if (rows.length < BATCH) break;
    // Others are served in between.
    await breathe();
  }
  const broken = (await breakAtEnd(client, last, noted)) ?? erasing.unsaid();
  return broken ? { ...last, broken } : last;
}

async function batchAfter(client: pg.PoolClient, number: bigint): Promise<Row[]> {
  const { rows } = await client.query<Row>({
    name: 'history-links',
    text: `select * from "HistoryEntry" where "number" > $1 order by "number" limit ${BATCH}`,
    values: [number.toString()],
  });
  return rows;
}

function breakOf(row: Row, last: NotedPlace): HistoryBreak | undefined {
  if (BigInt(row.number) !== last.number + 1n) return 'removed';
  const { nameHash, contentHash } = row;
  if (nameHash === null || contentHash === null) return 'changed';
  if (row.nameErasedAt === null && nameHashOf(row.nameSalt ?? '', row.actorName) !== nameHash)
    return 'changed';
  if (row.erasedAt === null && contentHashOf(row.salt ?? '', row, nameHash) !== contentHash) return 'changed';
  const place = { number: BigInt(row.number), at: row.at };
  return linkHashOf(last.hash, place, contentHash) === row.hash ? undefined : 'out-of-order';
}

function breakOfNoted(row: Row, noted: readonly NotedPlace[]): HistoryBreak | undefined {
  const here = noted.filter(({ number }) => number === BigInt(row.number));
  return here.some(({ hash }) => hash !== row.hash) ? 'rewritten' : undefined;
}

/** The head and the places written down know how far the chain went; an entry without a number belongs nowhere. */
async function breakAtEnd(client: pg.PoolClient, last: NotedPlace, noted: readonly NotedPlace[]) {
  const { rows } = await client.query<{ number: string; hash: string; loose: boolean }>(
    `select "number", "hash", exists (select 1 from "HistoryEntry" where "number" is null) as loose
     from "HistoryHead" where "id" = 1`,
  );
  const head = rows[0];
  const farthest = [...noted.map(({ number }) => number), BigInt(head?.number ?? 0)];
  const next = last.number + 1n;
  if (farthest.some((number) => number > last.number)) return { number: next, how: 'cut-off' as const };
  if (!head || head.hash !== last.hash || BigInt(head.number) !== last.number)
    return { number: last.number, how: 'rewritten' as const };
  return head.loose ? { number: next, how: 'added' as const } : undefined;
}

/** What was erased must be what the history itself says was erased. */
class Erasing {
  readonly #said = { contents: new Set<string>(), names: new Set<string>() };
  readonly #seen: { readonly number: string; readonly what: keyof Erased }[] = [];

  look(row: Row): void {
    if (row.erasedAt !== null) this.#seen.push({ number: row.number, what: 'contents' });
    if (row.nameErasedAt !== null) this.#seen.push({ number: row.number, what: 'names' });
    if (row.action !== ERASING || row.erasedAt !== null) return;
    const { contents, names } = row.after as Erased;
    for (const number of contents) this.#said.contents.add(number);
    for (const number of names) this.#said.names.add(number);
  }

  unsaid(): { number: bigint; how: HistoryBreak } | undefined {
    const first = this.#seen.find(({ number, what }) => !this.#said[what].has(number));
    return first && { number: BigInt(first.number), how: 'erased-unsaid' };
  }
}
