/**
 * Everything that was given up, of whatever kind, with the reason and since when, and trying it again. What is open is
 * what is listed: a success, a newer attempt or a later result takes it off the list.
 */
import { requestBackup } from '../../../libs/backup/index.js';
import type { BackupCause, FailureKind, JobName } from '../../../libs/contracts/index.js';
import { deliveryJobId } from '../../../libs/notices/index.js';
import {
  requestAnalysis,
  requestBundle,
  retryComputation,
  type AnalysisRecipe,
  type Change,
  type Database,
} from '../../../libs/store/index.js';

export interface FailedWork {
  readonly kind: FailureKind;
  /** With the kind, names it for `retryWork`. */
  readonly id: string;
  /** What it was to do, as people say it. */
  readonly what: string;
  readonly reason: string;
  readonly since: Date;
}

const MOST_OF_A_KIND = 100;
const SAID_NOTHING = 'No reason was kept.';
const houseWork: Readonly<Partial<Record<string, string>>> = {
  'load-demo': 'Loading the invented demo',
  'watch-deadlines': 'Watching the deadlines of loans',
  'clear-old': 'Clearing what is no longer needed',
  'schedule-backups': 'Planning the nightly backup',
};

/** Newest first; of each kind the newest hundred. */
export async function failedWork(database: Database): Promise<FailedWork[]> {
  const parts = await Promise.all([
    analyses(database),
    recomputations(database),
    bundles(database),
    placings(database),
    messages(database),
    backups(database),
    ofTheHouse(database),
  ]);
  return parts.flat().sort((a, b) => b.since.getTime() - a.since.getTime());
}

async function analyses({ prisma }: Database): Promise<FailedWork[]> {
  const rows = await prisma.computation.findMany({
    where: { state: 'quarantined' },
    orderBy: { finishedAt: 'desc' },
    take: MOST_OF_A_KIND,
    select: {
      id: true,
      reason: true,
      createdAt: true,
      finishedAt: true,
      analyses: { take: 1, select: { set: { select: { name: true, unit: { select: { name: true } } } } } },
    },
  });
  return rows.map(({ id, reason, createdAt, finishedAt, analyses: [first] }) => ({
    kind: 'analysis',
    id,
    what: first ? `Analysing “${first.set.name}” of ${first.set.unit.name}` : 'An analysis nobody waits for',
    reason: reason ?? SAID_NOTHING,
    since: finishedAt ?? createdAt,
  }));
}

/** While the earlier result is still the set's newest. */
async function recomputations({ pool }: Database): Promise<FailedWork[]> {
  const { rows } = await pool.query<{
    setId: string;
    set: string;
    unit: string;
    reason: string;
    since: Date;
  }>(
    `select i."setId", s."name" as "set", u."name" as "unit", coalesce(i."reason", $1) as "reason", i."endedAt" as "since"
     from "CampaignItem" i join "MeasurementSet" s on s."id" = i."setId" join "Unit" u on u."id" = s."unitId"
     where i."state" = 'failed' and i."analysisId" =
       (select "id" from "Analysis" a where a."setId" = i."setId" order by a."createdAt" desc, a."id" desc limit 1)
       and i."campaignId" = (select "id" from "Campaign" order by "createdAt" desc limit 1)
     order by i."endedAt" desc limit ${MOST_OF_A_KIND}`,
    [SAID_NOTHING],
  );
  return rows.map(({ setId, set, unit, reason, since }) => {
    return { kind: 'recomputation', id: setId, what: `Recomputing “${set}” of ${unit}`, reason, since };
  });
}

/** While no later bundle of the same purpose was asked for. Conditions that are not met are no failure of ours. */
async function bundles({ pool }: Database): Promise<FailedWork[]> {
  const { rows } = await pool.query<{ id: string; title: string; reason: string; since: Date }>(
    `select p."id", p."title", p."reason", p."askedAt" as "since" from "Publication" p
     where p."state" = 'refused' and p."reason" like 'The bundle could not be built.%'
       and not exists (select 1 from "Publication" q where q."loanId" = p."loanId" and q."purpose" = p."purpose"
         and q."askedAt" > p."askedAt")
     order by p."askedAt" desc limit ${MOST_OF_A_KIND}`,
  );
  return rows.map(({ title, ...row }) => ({
    kind: 'bundle',
    ...row,
    what: `Building the bundle of “${title}”`,
  }));
}

async function placings({ prisma }: Database): Promise<FailedWork[]> {
  const rows = await prisma.publication.findMany({
    where: { placeFault: { not: null }, state: 'published' },
    orderBy: { publishedAt: 'desc' },
    take: MOST_OF_A_KIND,
  });
  return rows.map(({ id, title, placeFault, publishedAt, askedAt }) => ({
    kind: 'placing',
    id,
    what: `Writing “${title}” to the folder of published reviews`,
    reason: placeFault ?? SAID_NOTHING,
    since: publishedAt ?? askedAt,
  }));
}

async function messages({ prisma }: Database): Promise<FailedWork[]> {
  const rows = await prisma.delivery.findMany({
    where: { state: 'failed' },
    orderBy: { nextAttemptAt: 'desc' },
    take: MOST_OF_A_KIND,
    include: { account: { select: { name: true } } },
  });
  return rows.map(({ id, channel, reason, createdAt, account }) => ({
    kind: 'message',
    id,
    what: `A message to ${account.name} by ${channel === 'email' ? 'e-mail' : channel}`,
    reason: reason ?? SAID_NOTHING,
    since: createdAt,
  }));
}

/** The last one, while none has been made since. */
async function backups({ prisma }: Database): Promise<FailedWork[]> {
  const last = await prisma.backupRun.findFirst({ orderBy: { startedAt: 'desc' } });
  if (last?.state !== 'failed') return [];
  const { id, reason, finishedAt, startedAt } = last;
  return [
    {
      kind: 'backup',
      id,
      what: 'Making a backup',
      reason: reason ?? SAID_NOTHING,
      since: finishedAt ?? startedAt,
    },
  ];
}

async function ofTheHouse({ prisma }: Database): Promise<FailedWork[]> {
  const rows = await prisma.setAsideJob.findMany({ orderBy: { since: 'desc' }, take: MOST_OF_A_KIND });
  return rows.map(({ key, job, reason, since }) => ({
    kind: 'house',
    id: key,
    what: houseWork[job] ?? 'Work of the house itself',
    reason,
    since,
  }));
}

type Retry = (made: Change, id: string, recipe: AnalysisRecipe) => Promise<boolean>;
const retries: Readonly<Record<FailureKind, Retry>> = {
  analysis: retryComputation,
  recomputation: async (made, setId, recipe) => {
    await requestAnalysis(made, setId, recipe);
    return true;
  },
  bundle: async (made, id) => {
    const { count } = await made.tx.publication.updateMany({
      where: { id, state: 'refused' },
      data: { state: 'building', reason: null, progress: 0, version: { increment: 1 } },
    });
    if (count === 0) return false;
    requestBundle(made, await made.tx.publication.findUniqueOrThrow({ where: { id } }));
    return true;
  },
  placing: async (made, id) => {
    const { count } = await made.tx.publication.updateMany({
      where: { id, placeFault: { not: null } },
      data: { placeFault: null, placedAt: null },
    });
    if (count === 1) made.request('place-bundle', await newId(made, `place-${id}`), { publicationId: id });
    return count === 1;
  },
  message: async (made, id) => {
    const { count } = await made.tx.delivery.updateMany({
      where: { id, state: 'failed' },
      data: { state: 'waiting', attempts: 0, reason: null, nextAttemptAt: new Date() },
    });
    if (count === 1) {
      made.request('deliver', await newId(made, deliveryJobId(id, 0)), { deliveryId: id });
    }
    return count === 1;
  },
  backup: async (made, id) => {
    const run = await made.tx.backupRun.findFirst({ where: { id, state: 'failed' } });
    if (run) await requestBackup(made, run.cause as BackupCause);
    return run !== null;
  },
  house: async (made, key) => {
    const found = await made.tx.setAsideJob.findUnique({ where: { key } });
    if (!found) return false;
    await made.tx.setAsideJob.delete({ where: { key } });
    const job = found.job as JobName;
    made.request(job, await newId(made, `${job}-again`), found.payload as never);
    return true;
  },
};

/** A name the queue has not seen: it still remembers the job that failed. */
async function newId(made: Change, base: string): Promise<string> {
  const before = await made.tx.outboxRequest.count({ where: { jobId: { startsWith: base } } });
  return `${base}-${before}`;
}

/**
 * Puts given up work back to work, in the name of whoever asks.
 * @returns false when there is nothing of that kind and id to try again (any more)
 */
export async function retryWork(
  made: Change,
  kind: FailureKind,
  id: string,
  recipe: AnalysisRecipe,
): Promise<boolean> {
  const isBegun = await retries[kind](made, id, recipe);
  if (isBegun) {
    made.record({
      action: 'work-retried',
      subject: 'work',
      subjectId: id,
      sentence: 'had work tried again that was given up',
    });
  }
  return isBegun;
}
