/**
 * Work that the rows say is under way. A worker hands it to the queue again under the same ids, when it starts and
 * every now and then: a queue that still has it takes no second, one that was emptied, or is new after a restore, has
 * it back.
 */
import { statesAtWork, type JobName } from '../contracts/index.js';
import type { Database } from './database.js';
import type { OutboxJob } from './outbox.js';

/** Said once all of the invented demo is loaded. */
export const DEMO_LOADED = 'demo:loaded';

const stepOfState: Readonly<Record<string, { job: JobName; id: string }>> = {
  queued: { job: 'read-set', id: 'read' },
  reading: { job: 'read-set', id: 'read' },
  analysing: { job: 'analyse-set', id: 'analyse' },
  drawing: { job: 'draw-figures', id: 'draw' },
};

/** @param placesBundles whether this worker writes published bundles to a folder */
export async function workInFlight(database: Database, placesBundles: boolean): Promise<OutboxJob[]> {
  const parts = await Promise.all([
    computations(database),
    recomputations(database),
    bundles(database),
    placesBundles ? placings(database) : [],
    backups(database),
    exports(database),
    demo(database),
  ]);
  return parts.flat();
}

/** The newest request for each piece of work: one that was retried has an id of its own, which only that knows. */
async function lastAsked(
  database: Database,
  key: string,
  values: readonly string[],
  jobs?: readonly JobName[],
): Promise<ReadonlyMap<string, OutboxJob>> {
  if (values.length === 0) return new Map();
  const { rows } = await database.pool.query<OutboxJob & { value: string }>(
    `select distinct on ("payload"->>$1) "job", "jobId", "payload", "priority", "payload"->>$1 as "value"
     from "OutboxRequest" where "payload"->>$1 = any($2) and ($3::text[] is null or "job" = any($3))
     order by "payload"->>$1, "id" desc`,
    [key, values, jobs ?? null],
  );
  return new Map(rows.map(({ value, ...job }) => [value, job]));
}

async function computations(database: Database): Promise<OutboxJob[]> {
  const rows = await database.prisma.computation.findMany({
    where: { state: { in: [...statesAtWork] } },
    select: { id: true, state: true, turn: true },
  });
  const ids = rows.map(({ id }) => id);
  const asked = await lastAsked(database, 'computationId', ids);
  return rows.flatMap(({ id, state, turn }): OutboxJob[] => {
    const step = stepOfState[state];
    if (!step) return [];
    const payload = { computationId: id };
    return [asked.get(id) ?? { job: step.job, jobId: `${step.id}-${id}`, payload, priority: turn }];
  });
}

async function recomputations(database: Database): Promise<OutboxJob[]> {
  const items = await database.prisma.campaignItem.findMany({
    where: { state: 'asked', campaign: { state: 'running' } },
    select: { campaignId: true, setId: true },
  });
  const setIds = items.map(({ setId }) => setId);
  const asked = await lastAsked(database, 'setId', setIds, ['recompute-set']);
  return items.map((item) => {
    const known = asked.get(item.setId);
    const isOurs = (known?.payload as { campaignId?: string } | undefined)?.campaignId === item.campaignId;
    const jobId = `recompute-${item.campaignId}-${item.setId}`;
    return known && isOurs ? known : { job: 'recompute-set', jobId, payload: item };
  });
}

async function bundles(database: Database): Promise<OutboxJob[]> {
  const rows = await database.prisma.publication.findMany({
    where: { state: 'building' },
    select: { id: true, version: true },
  });
  return rows.map(({ id, version }) => {
    return { job: 'build-bundle', jobId: `bundle-${id}-${version}`, payload: { publicationId: id } };
  });
}

/** Published, and neither written to the folder nor given up. */
async function placings(database: Database): Promise<OutboxJob[]> {
  const rows = await database.prisma.publication.findMany({
    where: { number: { not: null }, placedAt: null, placeFault: null },
    select: { id: true },
  });
  const ids = rows.map(({ id }) => id);
  return [...(await lastAsked(database, 'publicationId', ids, ['place-bundle'])).values()];
}

async function backups(database: Database): Promise<OutboxJob[]> {
  const rows = await database.prisma.backupRun.findMany({
    where: { state: 'running' },
    select: { id: true },
  });
  return rows.map(({ id }) => ({ job: 'make-backup', jobId: `backup-${id}`, payload: { runId: id } }));
}

async function exports(database: Database): Promise<OutboxJob[]> {
  const rows = await database.prisma.accountExport.findMany({
    where: { state: 'running' },
    select: { id: true },
  });
  return rows.map(({ id }) => ({ job: 'make-export', jobId: `export-${id}`, payload: { exportId: id } }));
}

async function demo(database: Database): Promise<OutboxJob[]> {
  const { rows } = await database.pool.query<OutboxJob>(
    `select "job", "jobId", "payload" from "OutboxRequest" where "job" = 'load-demo'
       and not exists (select 1 from "AppliedEffect" where "key" = $1)
       and not exists (select 1 from "SetAsideJob" where "job" = 'load-demo')
     order by "id" desc limit 1`,
    [DEMO_LOADED],
  );
  return rows;
}
