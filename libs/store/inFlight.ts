/**
 * Work that the rows say is under way. A worker that starts hands it to the queue again under the same ids: a queue
 * that still has it takes no second, one that was emptied, or is new after a restore, has it back.
 */
import type { JobName } from '../contracts/index.js';
import type { Database } from './database.js';
import type { OutboxJob } from './outbox.js';

const stepOfState: Readonly<Record<string, { job: JobName; id: string }>> = {
  queued: { job: 'read-set', id: 'read' },
  reading: { job: 'read-set', id: 'read' },
  analysing: { job: 'analyse-set', id: 'analyse' },
  drawing: { job: 'draw-figures', id: 'draw' },
};

export async function workInFlight(database: Database): Promise<OutboxJob[]> {
  const [computations, runs, bundles] = await Promise.all([
    database.prisma.computation.findMany({
      where: { state: { in: ['queued', 'reading', 'analysing', 'drawing'] } },
      select: { id: true, state: true },
    }),
    database.prisma.backupRun.findMany({ where: { state: 'running' }, select: { id: true } }),
    database.prisma.publication.findMany({
      where: { state: 'building' },
      select: { id: true, version: true },
    }),
  ]);
  // A retried chain has ids of its own, which its last request knows.
  const asked = await database.pool.query<OutboxJob & { computationId: string }>(
    `select distinct on ("payload"->>'computationId') "job", "jobId", "payload",
       "payload"->>'computationId' as "computationId"
     from "OutboxRequest" where "payload"->>'computationId' = any($1)
     order by "payload"->>'computationId', "id" desc`,
    [computations.map(({ id }) => id)],
  );
  const lastAsked = new Map(asked.rows.map(({ computationId, ...job }) => [computationId, job]));
  return [
    ...computations.flatMap(({ id, state }): OutboxJob[] => {
      const step = stepOfState[state];
      if (!step) return [];
      const known = lastAsked.get(id);
      return [known ?? { job: step.job, jobId: `${step.id}-${id}`, payload: { computationId: id } }];
    }),
    ...bundles.map(({ id, version }): OutboxJob => {
      return { job: 'build-bundle', jobId: `bundle-${id}-${version}`, payload: { publicationId: id } };
    }),
    ...runs.map(({ id }): OutboxJob => ({
      job: 'make-backup',
      jobId: `backup-${id}`,
      payload: { runId: id },
    })),
  ];
}
