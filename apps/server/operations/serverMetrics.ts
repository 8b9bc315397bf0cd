/** Figures that are read when somebody asks for them: sockets, feed, outbox, queues, pools, storage, processes. */
import type { Metrics } from '../../../libs/running/index.js';
import { lastFeedNumber, seenProcesses } from '../../../libs/store/index.js';
import type { LiveSockets } from '../live/liveSockets.js';
import type { ServerConfig } from '../serverConfig.js';
import { databaseBytes, diskOf, fileFigures, outboxFigures } from './storageFigures.js';

const AT_ONCE = 0;
const Second = 1000;
const SELDOM = 60 * Second;

export function measureServer(config: ServerConfig, sockets: LiveSockets): void {
  const { metrics, database } = config;
  metrics.gauge('sojourn_open_sockets', 'Sockets open on this server', [], AT_ONCE, async () => [
    { value: sockets.open },
  ]);
  metrics.gauge('sojourn_feed_behind', 'Events not yet handed to sockets', [], AT_ONCE, async () => [
    { value: Math.max(0, (await lastFeedNumber(database)) - sockets.said) },
  ]);
  metrics.gauge(
    'sojourn_database_connections',
    'Connections of this process to the database',
    ['pool', 'state'],
    AT_ONCE,
    async () =>
      database.connections().flatMap(({ pool, total, idle, asking }) => [
        { value: total - idle, labels: { pool, state: 'used' } },
        { value: idle, labels: { pool, state: 'idle' } },
        { value: asking, labels: { pool, state: 'asked for' } },
      ]),
  );
  measureWaiting(config);
  measureStorage(metrics, config);
}

function measureWaiting({ metrics, database, queues }: ServerConfig): void {
  metrics.gauge('sojourn_outbox_waiting', 'Requests not yet handed to a queue', [], Second, async () => [
    { value: (await outboxFigures(database)).waiting },
  ]);
  metrics.gauge('sojourn_outbox_oldest_seconds', 'Age of the oldest of them', [], Second, async () => [
    { value: (await outboxFigures(database)).oldestSeconds ?? 0 },
  ]);
  metrics.gauge('sojourn_queue_jobs', 'Jobs in a queue', ['queue', 'state'], Second, async () =>
    (await queues.counts()).flatMap(({ queue, waiting, active, delayed, failed }) =>
      Object.entries({ waiting, active, delayed, failed }).map(([state, value]) => ({
        value,
        labels: { queue, state },
      })),
    ),
  );
  metrics.gauge(
    'sojourn_queue_waited_seconds',
    'How long the next job of a queue has waited',
    ['queue'],
    Second,
    async () =>
      (await queues.counts()).map(({ queue, oldestWaitingMs }) => ({
        value: (oldestWaitingMs ?? 0) / Second,
        labels: { queue },
      })),
  );
}

function measureStorage(metrics: Metrics, { database, uploadsFolder }: ServerConfig): void {
  metrics.gauge('sojourn_storage_bytes', 'Bytes kept', ['what'], SELDOM, async () => [
    { value: await databaseBytes(database), labels: { what: 'database' } },
    { value: (await fileFigures(database)).bytes, labels: { what: 'files' } },
  ]);
  metrics.gauge(
    'sojourn_disk_free_bytes',
    'Free on the disk that uploads arrive on',
    [],
    SELDOM,
    async () => {
      const disk = await diskOf(uploadsFolder);
      return disk ? [{ value: disk.free }] : [];
    },
  );
  metrics.gauge('sojourn_processes_alive', 'Processes at work', ['role'], Second, async () => {
    const alive = (await seenProcesses(database)).filter((one) => one.alive);
    return ['all', 'api', 'worker'].map((role) => ({
      value: alive.filter((one) => one.role === role).length,
      labels: { role },
    }));
  });
}
