/** What takes how much room, as the database and the disk say it. */
import { statfs } from 'node:fs/promises';
import type { StorageView, VersionsView } from '../../../libs/contracts/index.js';
import type { Database } from '../../../libs/store/index.js';

const LARGEST_SHOWN = 5;

/** Bytes free on the disk that holds a folder, and its size; undefined where the system does not say. */
export async function diskOf(folder: string): Promise<{ free: number; size: number } | undefined> {
  const { bavail, blocks, bsize } = await statfs(folder).catch(() => ({ bavail: 0, blocks: 0, bsize: 0 }));
  return blocks > 0 ? { free: bavail * bsize, size: blocks * bsize } : undefined;
}

export async function databaseBytes(database: Database): Promise<number> {
  const { rows } = await database.pool.query<{ bytes: string }>(
    'select pg_database_size(current_database()) as "bytes"',
  );
  return Number(rows[0]?.bytes ?? 0);
}

export async function fileFigures(database: Database): Promise<{ files: number; bytes: number }> {
  const { rows } = await database.pool.query<{ files: string; bytes: string }>(
    'select count(*) as "files", coalesce(sum("bytes"), 0) as "bytes" from "Blob"',
  );
  return { files: Number(rows[0]?.files ?? 0), bytes: Number(rows[0]?.bytes ?? 0) };
}

export async function storageFigures(database: Database, folder: string): Promise<StorageView> {
  const [inDatabase, { files, bytes }, disk, largest] = await Promise.all([
    databaseBytes(database),
    fileFigures(database),
    diskOf(folder),
    database.pool.query<{ unitId: string; name: string; bytes: string }>(
      `select u."id" as "unitId", u."name", sum(b."bytes") as "bytes"
       from "SetFile" f join "Blob" b on b."sha256" = f."sha256"
       join "MeasurementSet" s on s."id" = f."setId" join "Unit" u on u."id" = s."unitId"
       group by u."id" order by sum(b."bytes") desc, u."id" limit ${LARGEST_SHOWN}`,
    ),
  ]);
  return {
    databaseBytes: inDatabase,
    filesBytes: bytes,
    files,
    freeBytes: disk?.free ?? null,
    diskBytes: disk?.size ?? null,
    largestUnits: largest.rows.map((row) => ({ ...row, bytes: Number(row.bytes) })),
  };
}

export async function storeVersions(
  database: Database,
): Promise<Pick<VersionsView, 'postgres' | 'migrations' | 'lastMigration'>> {
  const { rows } = await database.pool.query<{ postgres: string; migrations: string; last: string | null }>(
    `select current_setting('server_version') as "postgres", count(*) as "migrations", max(migration_name) as "last"
     from _prisma_migrations where finished_at is not null and rolled_back_at is null`,
  );
  const [row] = rows;
  return {
    // “17.5 (Debian 17.5-1)”: the packager's own words are left out.
    postgres: (row?.postgres ?? '').split(' ')[0] ?? '',
    migrations: Number(row?.migrations ?? 0),
    lastMigration: row?.last ?? '',
  };
}

/** Age in seconds of the oldest request that no queue was handed yet, and how many there are. */
export async function outboxFigures(
  database: Database,
): Promise<{ waiting: number; oldestSeconds: number | null }> {
  const { rows } = await database.pool.query<{ waiting: string; oldest: string | null }>(
    `select count(*) as "waiting", extract(epoch from now() - min("createdAt")) as "oldest"
     from "OutboxRequest" where "sentAt" is null`,
  );
  const oldest = rows[0]?.oldest ?? null;
  return { waiting: Number(rows[0]?.waiting ?? 0), oldestSeconds: oldest === null ? null : Number(oldest) };
}
