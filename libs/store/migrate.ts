/**
 * Brings a database to this version's schema, with Prisma's own migration engine (its WebAssembly build, since
 * the native one cannot be fetched everywhere) and Prisma's own record of what was applied.
 */
import { createRequire } from 'node:module';
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { chainEarlierHistory } from './historyChain.js';

interface Engine {
  applyMigrations(input: unknown): Promise<{ appliedMigrationNames: string[] }>;
  diff(input: unknown): Promise<{ stdout?: string | null }>;
  free(): void;
}
interface EngineModule {
  // `new` is a static method of this class, not its constructor.
  SchemaEngine: Record<
    'new',
    (options: { datamodels: undefined }, log: (line: string) => void, adapter: object) => Promise<Engine>
  >;
  __wbg_set_wasm(exports: object): void;
}

// Node has it; the type library for it is the browser's, which the server must not see.
declare const WebAssembly: {
  instantiate(
    bytes: Uint8Array,
    imports: object,
  ): Promise<{ instance: { exports: Record<string, unknown> } }>;
};

const FILTERS = { externalTables: [], externalEnums: [] };

export class NewerDatabase extends Error {
  readonly code = 'newer-database';
}

/**
 * @param only the names of those wanted; all that are known when left out
 * @returns the names of the migrations applied now.
 */
export async function migrate(
  url: string,
  migrationsFolder: string,
  only?: readonly string[],
): Promise<readonly string[]> {
  await createDatabaseIfMissing(url);
  const all = await knownMigrations(migrationsFolder);
  const known = only ? all.filter(({ path: name }) => only.includes(name)) : all;
  const applied = await appliedMigrations(url);
  insistOnKnown(
    applied,
    known.map(({ path: name }) => name),
  );
  // The engine takes a moment to load: a second start does not need it.
  if (known.every((migration) => applied.includes(migration.path))) {
    if (!only) await chainEarlierHistory(url);
    return [];
  }
  const engine = await loadEngine(url);
  try {
    const outcome = await engine.applyMigrations({
      migrationsList: {
        baseDir: migrationsFolder,
        lockfile: { path: 'migration_lock.toml', content: 'provider = "postgresql"\n' },
        shadowDbInitScript: '',
        migrationDirectories: known,
      },
      filters: FILTERS,
    });
    if (!only) await chainEarlierHistory(url);
    return outcome.appliedMigrationNames;
  } finally {
    engine.free();
  }
}

function insistOnKnown(applied: readonly string[], known: readonly string[]): void {
  const unknown = applied.filter((name) => !known.includes(name));
  if (unknown.length === 0) return;
  throw new NewerDatabase(
    `This database was used by a newer Sojourn (it has ${unknown.join(', ')}). Start that version; nothing was changed.`,
  );
}

export async function migrationNames(folder: string): Promise<string[]> {
  return (await knownMigrations(folder)).map(({ path: name }) => name);
}

/** Whether there is nothing to apply. @throws NewerDatabase */
export async function isUpToDate(url: string, migrationsFolder: string): Promise<boolean> {
  const [known, applied] = [await migrationNames(migrationsFolder), await appliedMigrations(url)];
  insistOnKnown(applied, known);
  return known.every((name) => applied.includes(name));
}

/**
 * What a start would apply to a database that has been used before; nothing for a new one. Nothing is changed.
 * @throws NewerDatabase
 */
export async function upgradeAhead(url: string, migrationsFolder: string): Promise<readonly string[]> {
  const known = await migrationNames(migrationsFolder);
  const applied = await appliedMigrations(url).catch((error: { code?: string }): string[] => {
    // 3D000: there is no such database yet.
    if (error.code === '3D000') return [];
    throw error;
  });
  insistOnKnown(applied, known);
  return applied.length === 0 ? [] : known.filter((name) => !applied.includes(name));
}

/**
 * The SQL that leads from one schema file (or from nothing) to another. The engine wants a live database but cannot
 * look into it through this adapter, so each migration keeps the schema it leads to beside it.
 *
 * @param url any PostgreSQL; nothing in it is read or changed
 */
export async function draftMigration(
  url: string,
  fromSchema: string | undefined,
  toSchema: string,
): Promise<string> {
  const engine = await loadEngine(url);
  try {
    const outcome = await engine.diff({
      from:
        fromSchema === undefined
          ? { tag: 'empty' }
          : { tag: 'schemaDatamodel', ...(await schemaFiles(fromSchema)) },
      to: { tag: 'schemaDatamodel', ...(await schemaFiles(toSchema)) },
      script: true,
      shadowDatabaseUrl: null,
      exitCode: null,
      filters: FILTERS,
    });
    return outcome.stdout ?? '';
  } finally {
    engine.free();
  }
}

async function schemaFiles(file: string) {
  return { files: [{ path: file, content: await readFile(file, 'utf8') }], configDir: path.dirname(file) };
}

async function loadEngine(url: string): Promise<Engine> {
  const module = await (engineModule ??= loadEngineModule());
  const adapter = bindMigrationAwareSqlAdapterFactory(
    // Its connection holds the engine's lock until it is closed, and only idleness closes it.
    new PrismaPg({ connectionString: url, idleTimeoutMillis: 100 }),
  );
  return module.SchemaEngine.new({ datamodels: undefined }, () => undefined, adapter);
}

/** Instantiated once: the module keeps its memory in module variables. */
let engineModule: Promise<EngineModule> | undefined;

async function loadEngineModule(): Promise<EngineModule> {
  const panic = {
    set_message: (message: string) => process.stderr.write(`The migration engine stopped: ${message}\n`),
  };
  Object.assign(globalThis, { PRISMA_WASM_PANIC_REGISTRY: panic });
  const require = createRequire(import.meta.url);
  const folder = path.dirname(require.resolve('@prisma/schema-engine-wasm'));
  const module = (await import(pathToFileURL(path.join(folder, 'schema_engine_bg.js')).href)) as EngineModule;
  const bytes = await readFile(path.join(folder, 'schema_engine_bg.wasm'));
  const { instance } = await WebAssembly.instantiate(bytes, { './schema_engine_bg.js': module });
  module.__wbg_set_wasm(instance.exports);
  (instance.exports['__wbindgen_start'] as () => void)();
  return module;
}

async function knownMigrations(folder: string) {
  const names = (await readdir(folder, { withFileTypes: true })).filter((entry) => entry.isDirectory());
  const sorted = names.map((entry) => entry.name).sort();
  return Promise.all(
    sorted.map(async (name) => ({
      path: name,
      migrationFile: {
        path: 'migration.sql',
        content: { tag: 'ok', value: await readFile(path.join(folder, name, 'migration.sql'), 'utf8') },
      },
    })),
  );
}

async function appliedMigrations(url: string): Promise<string[]> {
  const client = new pg.Client({ connectionString: url });
  try {
    await client.connect();
    const there = await client.query<{ name: string | null }>(
      `select to_regclass('_prisma_migrations')::text as name`,
    );
    if (!there.rows[0]?.name) return [];
    const rows = await client.query<{ migration_name: string }>(
      'select migration_name from _prisma_migrations where finished_at is not null and rolled_back_at is null',
    );
    return rows.rows.map((row) => row.migration_name);
  } finally {
    await client.end();
  }
}

/** Makes the database itself, without any tables, if the server has none of that name. */
export async function createDatabaseIfMissing(url: string): Promise<void> {
  const target = new URL(url);
  const name = decodeURIComponent(target.pathname.slice(1));
  const probe = new pg.Client({ connectionString: url });
  try {
    await probe.connect();
    await probe.end();
    return;
  } catch (error) {
    await probe.end().catch(() => undefined);
    // 3D000: the server is there, the database is not.
    if ((error as { code?: string }).code !== '3D000') throw error;
  }
  target.pathname = '/postgres';
  const client = new pg.Client({ connectionString: target.href });
  await client.connect();
  try {
    await client.query(`create database ${client.escapeIdentifier(name)}`);
  } catch (error) {
    // Another process made it in the meantime, or is making it now.
    if (!['42P04', '23505'].includes((error as { code?: string }).code ?? '')) throw error;
  } finally {
    await client.end();
  }
}

const UPGRADE_LOCK = 0x50_4a_52_4e;

/** One at a time per database, over several servers. */
export async function withUpgradeLock<T>(url: string, work: () => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url, keepAlive: true });
  await client.connect();
  try {
    await client.query('select pg_advisory_lock($1)', [UPGRADE_LOCK]);
    return await work();
  } finally {
    // Its end frees the lock.
    await client.end();
  }
}
