/**
 * `npm run migration -- NAME`: drafts the SQL that leads from the last migration's schema to the schema file. Each
 * migration keeps the schema it leads to beside it; a test holds the last of them against the schema file.
 */
import { copyFile, mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { root, setUpOrExit } from './setup.mjs';

const [name] = process.argv.slice(2);
if (!name || !/^[a-z0-9-]+$/.test(name)) {
  console.error('Name the migration in lower-case words: npm run migration -- add-carriers');
  process.exit(2);
}
await setUpOrExit({ only: ['packages', 'postgres', 'client', 'server'] });
const store = await import('../dist/libs/store/index.js');
const schema = path.join(root, 'prisma', 'schema.prisma');
const migrations = path.join(root, 'prisma', 'migrations');
await mkdir(migrations, { recursive: true });
const last = (await readdir(migrations)).sort().at(-1);
const scratch = await mkdtemp(path.join(tmpdir(), 'sojourn-migration-'));
const running = await store.startEmbeddedDatabase(await store.openHome(scratch), console.log);
const database = running.url.replace(/[^/]+$/, 'postgres');
const sql = await store.draftMigration(
  database,
  last && path.join(migrations, last, 'schema.prisma'),
  schema,
);
await running.stop();
await rm(scratch, { recursive: true, force: true });
// They are applied in the order of their names: numbered in one line.
const number = Number(/^\d{8}_(\d{4})_/.exec(last ?? '20000101_0000_')?.[1]) + 1;
const day = new Date().toISOString().slice(0, 10).replaceAll('-', '');
const folder = path.join(
  migrations,
  `${day}_${String(number).padStart(4, '0')}_${name.replaceAll('-', '_')}`,
);
await mkdir(folder);
await writeFile(path.join(folder, 'migration.sql'), sql);
await copyFile(schema, path.join(folder, 'schema.prisma'));
console.log(`wrote ${path.relative(root, folder)}/migration.sql: read it before committing`);
