/**
 * `npm start`: sets up what is missing, opens the home, starts the database, then the server and the worker in
 * this process (or one of them, by SOJOURN_ROLE), and takes them down in order.
 *
 *   PORT, HOST               where to serve (4700 on 127.0.0.1); PORT=0 picks a free one
 *   SOJOURN_HOME             the folder that holds everything
 *   SOJOURN_DEMO=1 | --demo  load the invented demo into an empty home; 0 for an empty start
 *   SOJOURN_ROLE             all (default), api, worker
 *   DATABASE_URL, REDIS_URL  use those instead of what comes along
 *   SOJOURN_SMTP_URL, SOJOURN_MAIL_FROM, SOJOURN_PUBLIC_URL   send mail, from whom, with links to where
 *   SOJOURN_SECRET_KEY       seals secrets in the database (else a key kept in the home); one for all machines of a house
 *   SOJOURN_WEBHOOK_TRUSTED  networks of one's own that webhooks may reach (CIDR, comma-separated); none by default
 *   SOJOURN_PUBLISH_FOLDER   an existing folder that published bundles are also written to; --publish-folder=PATH too
 *   SOJOURN_BACKUPS          the folder for backups (`backups` in the home)
 *   SOJOURN_UPGRADE_BACKUP=0 upgrade a database without a backup of it before
 *   SOJOURN_LOG_LEVEL        one JSON line for each request, job and fault (info), or for faults alone (error)
 *   SOJOURN_METRICS_TOKEN    who shows it may read /metrics; without it only programs on this machine
 *   SOJOURN_METRICS_PORT     where a process without a server (SOJOURN_ROLE=worker) answers /metrics; nowhere by default
 *   SOJOURN_UPLOADS_AT_ONCE  files arriving at once on this server (40); more are told to come again
 *   SOJOURN_S3_ENDPOINT, _BUCKET, _KEY, _SECRET, _REGION   keep files there instead of in the home
 */
import { randomInt, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { availableParallelism, hostname } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { root, setUpOrExit } from './setup.mjs';

const say = (line) => console.log(line);
const REPEATED_MS = 10_000;
/** What was reported lately: while a database is away, hundreds of the same line would hide the first. */
const lately = new Map();
let log;
function report(error, doing) {
  if (log) return log.fault(error instanceof Error ? error : new Error(String(error)), doing);
  const what = `${doing}: ${error?.message || error?.code || error}`;
  const known = lately.get(what);
  if (known && Date.now() - known.at < REPEATED_MS) {
    known.again++;
    return;
  }
  const again = known?.again ? ` (and ${known.again} times before)` : '';
  lately.set(what, { at: Date.now(), again: 0 });
  if (lately.size > 200) lately.delete(lately.keys().next().value);
  console.error(`[${new Date().toISOString()}] ${doing}${again}: ${error?.stack ?? error}`);
}

// The database client's own way with its driver is deprecated there; it is not for the person who starts this.
process.noDeprecation = !process.env.SOJOURN_TRACE;

await setUpOrExit({ say });
const [
  { openBlobStore },
  { openQueues },
  store,
  { ALGORITHM_VERSION },
  { defaultSettings },
  { messageSettings, secretKeyOf, sealWebhookSecrets },
  { publishFolderOf },
  backup,
  running,
] = await Promise.all([
  import('../dist/libs/blobs/openBlobStore.js'),
  import('../dist/libs/jobs/queues.js'),
  import('../dist/libs/store/index.js'),
  import('../dist/libs/acoustics/algorithmVersion.js'),
  import('../dist/libs/acoustics/defaultSettings.js'),
  import('../dist/libs/notices/index.js'),
  import('../dist/libs/publication/publishFolder.js'),
  import('../dist/libs/backup/index.js'),
  import('../dist/libs/running/index.js'),
]);

const recipe = { algorithmVersion: ALGORITHM_VERSION, settings: defaultSettings };
const role = process.env.SOJOURN_ROLE ?? 'all';
if (!['all', 'api', 'worker'].includes(role)) {
  console.error(`SOJOURN_ROLE is "${role}"; it may be all, api or worker.`);
  process.exit(2);
}

const { version } = JSON.parse(readFileSync(path.join(root, 'package.json'), 'utf8'));
const about = { version, algorithm: ALGORITHM_VERSION };
let messages;
let publishFolder;
try {
  const level = running.logLevelOf(process.env.SOJOURN_LOG_LEVEL);
  if (level) log = running.openLog(level, { role, machine: hostname(), pid: process.pid });
  messages = messageSettings(process.env);
  publishFolder = publishFolderOf(process.argv, process.env);
} catch (error) {
  console.error(error.message);
  process.exit(2);
}

const metrics = running.openMetrics((error) => report(error, 'metrics'));
const metricsDoor = {
  token: process.env.SOJOURN_METRICS_TOKEN,
  behindProxy: Boolean(process.env.SOJOURN_TRUSTED_PROXIES),
};
const threads =
  role === 'api' ? 0 : Number(process.env.SOJOURN_THREADS ?? Math.max(1, availableParallelism() - 1));

/** Taken down in the reverse order of their start. */
const started = [];
let stopping = false;
let starting = Promise.resolve();
const DRAIN_PATIENCE_MS = 25_000;

async function stop(code) {
  if (stopping) return;
  stopping = true;
  say('stopping: finishing what is at work');
  // Whatever hangs must not keep the process; all that was acknowledged is in the database already.
  const patienceEnds = Date.now() + DRAIN_PATIENCE_MS;
  let left = 0;
  // A signal in the middle of the start: what is half up comes up first, then everything goes down.
  await within(
    DRAIN_PATIENCE_MS,
    starting.catch(() => undefined),
  );
  for (const [name, down] of started.reverse()) {
    // The database has all of it: slow work before it takes none of its time to end well.
    const patience = name === 'database' ? DRAIN_PATIENCE_MS : Math.max(patienceEnds - Date.now(), 2000);
    try {
      if (await within(patience, down())) continue;
      left++;
      console.error(`${name} did not come to an end within ${Math.round(patience / 1000)} s: leaving it`);
    } catch (error) {
      report(error, `stopping ${name}`);
    }
  }
  process.exit(code || (left > 0 ? 1 : 0));
}

async function within(ms, work) {
  return Promise.race([Promise.resolve(work).then(() => true), sleep(ms, false)]);
}

let asked = 0;
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.on(signal, () => {
    // npm passes a Ctrl-C on that the terminal already sent: only a third one means impatience.
    if (++asked > 2) process.exit(130);
    void stop(0);
  });
}
process.on('uncaughtException', (error) => {
  report(error, 'fault');
  void stop(1);
});
process.on('unhandledRejection', (error) => report(error, 'fault'));
watchNpm();

starting = start();
try {
  await starting;
} catch (error) {
  console.error(
    error.code === 'EADDRINUSE'
      ? `Port ${error.port} is taken. Set PORT to another, or PORT=0 for any.`
      : error.message,
  );
  if (process.env.SOJOURN_TRACE) report(error, 'start');
  await stop(1);
}

async function start() {
  const home = await store.openHome(store.homeFolder(process.env));
  say(`home ${home.folder}`);
  await backup.refuseHalfRestored(home);
  const databaseUrl = process.env.DATABASE_URL ?? (await startDatabase(home));
  const blobs = await openBlobStore(process.env, home.path('blobs'));
  const backups = backup.backupSettings(process.env, home.path('backups'), root);
  const applied = await backup.upgradeDatabase({ databaseUrl, blobs, backups }, say);
  if (applied.length > 0)
    say(`brought the database up to date (${applied.length} step${applied.length === 1 ? '' : 's'})`);
  const database = store.openDatabase(databaseUrl);
  started.push(['database connections', () => database.close()]);
  const secrets = store.openSecretBox(secretKeyOf(process.env, home.secrets.secretKey));
  sayLocked(await sealWebhookSecrets(database, secrets));
  // The lock of the home sees to it that nobody else works on the database that comes along.
  const place = {
    databaseUrl,
    redisUrl: process.env.REDIS_URL,
    alone: process.env.DATABASE_URL === undefined,
  };
  const queues = openQueues(place, (error) => report(error, 'queue'));
  started.push(['queues', () => queues.close()]);
  const url =
    role === 'worker' ? 'worker' : await startApi(home, { database, queues, blobs, backups, secrets });
  if (role !== 'api') await startWork({ database, queues, blobs, backups, secrets });
  const { SOJOURN_METRICS_PORT: metricsPort, HOST: host = '127.0.0.1' } = process.env;
  if (role === 'worker' && metricsPort) {
    const where = { host, port: Number(metricsPort) };
    started.push(['metrics', await running.serveMetrics(metrics, metricsDoor, where)]);
  }
  const sign = {
    ...about,
    id: randomUUID(),
    role,
    machine: hostname(),
    pid: process.pid,
    node: process.versions.node,
    threads,
    startedAt: new Date(),
  };
  started.push(['signs of life', await store.giveSigns(database, sign, (error) => report(error, 'sign'))]);
  say(`ready ${url}`);
}

function sayLocked(count) {
  if (count === 0) return;
  say(
    `${count} webhook key${count === 1 ? ' was' : 's were'} sealed with another secret key: set SOJOURN_SECRET_KEY to that one, or let each person make a new key on their own page`,
  );
}

async function startDatabase(home) {
  started.push(['lock', await lockPatiently(home)]);
  const running = await store.startEmbeddedDatabase(home, say);
  started.push(['database', () => running.stop()]);
  return running.url;
}

/** A start right after a kill may meet the last run still putting its things away. */
async function lockPatiently(home) {
  for (const patienceEnds = Date.now() + 15_000; ; await sleep(200)) {
    try {
      return await store.lockHome(home);
    } catch (error) {
      if (error.code !== 'home-in-use' || Date.now() > patienceEnds) throw error;
    }
  }
}

async function startApi(home, { database, queues, blobs, backups, secrets }) {
  const { startServer } = await import('../dist/apps/server/main.js');
  const setupCode = await store.firstRunCode(database, String(randomInt(10_000_000, 99_999_999)));
  await offerFirstRun(database, setupCode);
  const server = await startServer({
    database,
    queues,
    blobs,
    backups,
    uploadsFolder: home.path('uploads'),
    dashboardFolder: path.join(root, 'dist', 'dashboard'),
    host: process.env.HOST ?? '127.0.0.1',
    port: Number(process.env.PORT ?? 4700),
    redisUrl: process.env.REDIS_URL,
    trustedProxies: process.env.SOJOURN_TRUSTED_PROXIES,
    recipe,
    setupCode,
    messages,
    secrets,
    publishFolder,
    about,
    metrics,
    metricsDoor,
    log,
    uploadsAtOnce: Number(process.env.SOJOURN_UPLOADS_AT_ONCE ?? 40),
    report,
  });
  started.push(['server', () => server.drain()]);
  return server.url;
}

async function startWork({ database, queues, blobs, backups, secrets }) {
  const { startWorker } = await import('../dist/apps/worker/main.js');
  const reviewPageFolder = path.join(root, 'dist', 'review-page');
  const given = {
    database,
    queues,
    blobs,
    backups,
    recipe,
    threads,
    messages,
    secrets,
    reviewPageFolder,
    publishFolder,
    metrics,
    log,
    report,
  };
  const worker = await startWorker(given);
  started.push(['worker', () => worker.drain()]);
}

async function offerFirstRun(database, setupCode) {
  if ((await database.prisma.installation.count()) > 0) return;
  const asked = process.env.SOJOURN_DEMO;
  const wanted = asked === undefined ? process.argv.includes('--demo') || process.stdin.isTTY : asked === '1';
  if (!wanted) {
    say(
      `first run: open the page to make the owner account (from another machine with the code ${setupCode})`,
    );
    return;
  }
  const { installDemo } = await import('../dist/apps/server/people/installDemo.js');
  await installDemo(database);
  say('an empty home: loading the invented demo (SOJOURN_DEMO=0 starts without it)');
}

/** When npm itself is killed, its child must not stay behind holding the home. */
function watchNpm() {
  if (process.env.npm_lifecycle_event !== 'start' || process.platform === 'win32') return;
  const parent = process.ppid;
  setInterval(() => {
    if (process.ppid !== parent) void stop(0);
  }, 500).unref();
}
