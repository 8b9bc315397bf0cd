/**
 * The archive's profiles in memory: ranking ten thousand units takes some milliseconds here, and most of a second in
 * the database. They are looked after before every use: what the database says has changed is read again.
 */
import type { Database } from './database.js';

/** As numbers side by side; NaN where not measured, nothing where a part is missing. */
export interface KeptProfile {
  readonly firstAt: number;
  readonly responseDb: Float64Array;
  readonly directivityDb: Float64Array;
  readonly bassOctaves: Float64Array;
}

interface Kept {
  readonly mark: string;
  /** By unit: the transaction that wrote its row. */
  readonly written: ReadonlyMap<string, string>;
  readonly profiles: ReadonlyMap<string, KeptProfile>;
}

const nothing: Kept = { mark: '', written: new Map(), profiles: new Map() };
const keptBy = new WeakMap<Database, Promise<Kept>>();

/** Of every archived unit, as they are now. */
export async function profilesNow(database: Database): Promise<ReadonlyMap<string, KeptProfile>> {
  const before = keptBy.get(database) ?? Promise.resolve(nothing);
  // One after the other: two who ask at once after a change do not both read it.
  const next = before.catch(() => nothing).then((kept) => refreshed(database, kept));
  keptBy.set(database, next);
  return (await next).profiles;
}

async function refreshed({ pool }: Database, kept: Kept): Promise<Kept> {
  // A row that is written again has the number of a later transaction: the sum tells any change.
  const marked = await pool.query<{ mark: string }>({
    name: 'profiles-mark',
    text: `select count(*) || ':' || coalesce(sum(xmin::text::bigint), 0) || ':' || coalesce(bit_xor(xmin::text::bigint), 0) as "mark"
           from "ArchivedUnit"`,
  });
  const mark = marked.rows[0]?.mark ?? '';
  if (mark === kept.mark) return kept;
  const all = await pool.query<{ unitId: string; written: string }>(
    'select "unitId", xmin::text as "written" from "ArchivedUnit"',
  );
  const written = new Map(all.rows.map((row) => [row.unitId, row.written]));
  const changed = all.rows.flatMap((row) =>
    kept.written.get(row.unitId) === row.written ? [] : [row.unitId],
  );
  const read = await readProfiles(pool, changed);
  const profiles = new Map<string, KeptProfile>();
  for (const unitId of written.keys()) {
    const profile = read.get(unitId) ?? kept.profiles.get(unitId);
    if (profile) profiles.set(unitId, profile);
  }
  return { mark, written, profiles };
}

interface Row {
  readonly unitId: string;
  readonly firstAt: Date;
  readonly responseDb: (number | null)[];
  readonly directivityDb: (number | null)[];
  readonly bassOctaves: (number | null)[];
}

const PART = 2000;

async function readProfiles(
  pool: Database['pool'],
  unitIds: readonly string[],
): Promise<Map<string, KeptProfile>> {
  const read = new Map<string, KeptProfile>();
  for (let from = 0; from < unitIds.length; from += PART) {
    const { rows } = await pool.query<Row>(
      `select "unitId", "firstAt", "responseDb", "directivityDb", "bassOctaves" from "ArchivedUnit"
       where "unitId" = any($1::uuid[])`,
      [unitIds.slice(from, from + PART)],
    );
    for (const { unitId, firstAt, responseDb, directivityDb, bassOctaves } of rows) {
      read.set(unitId, {
        firstAt: firstAt.getTime(),
        responseDb: numbers(responseDb),
        directivityDb: numbers(directivityDb),
        bassOctaves: numbers(bassOctaves),
      });
    }
  }
  return read;
}

const numbers = (values: readonly (number | null)[]): Float64Array =>
  Float64Array.from(values, (value) => value ?? Number.NaN);
