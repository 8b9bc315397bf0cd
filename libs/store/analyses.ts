/** Sets, the computations that answer them, and what dashboards are told of both. */
import { createHash } from 'node:crypto';
import {
  statesAtWork,
  type AnalysisSummary,
  type ComputationState,
  type ProblemView,
} from '../contracts/index.js';
import type { Change } from './change.js';
import { archiveUnits } from './archive.js';
import type { Tx } from './database.js';
import { nextTurn } from './turns.js';
import { NotFound } from './versioned.js';
import { json } from './change.js';
import { Prisma } from './generated/client.js';

/** Which arithmetic answers a request: given by whoever starts the server, so that the server computes nothing. */
export interface AnalysisRecipe {
  readonly algorithmVersion: string;
  readonly settings: Readonly<Record<string, unknown>>;
}

export interface ComputationInput {
  readonly file: string;
  readonly sha256: string;
}

/** The same inputs, settings and version give the same key, in whatever order the files came. */
export function computationKey(
  inputs: readonly ComputationInput[],
  settings: Readonly<Record<string, unknown>>,
  algorithmVersion: string,
  invented: boolean,
): string {
  const sorted = inputs
    .map(({ file, sha256 }) => [file, sha256])
    .sort(([a = ''], [b = '']) => (a < b ? -1 : 1));
  const ordered = Object.entries(settings).sort(([a], [b]) => (a < b ? -1 : 1));
  const text = JSON.stringify({ sorted, ordered, algorithmVersion, invented });
  return createHash('sha256').update(text).digest('hex');
}

export class SetEmpty extends Error {
  readonly code = 'set-empty';
}

interface AskedSet {
  readonly name: string;
  readonly invented: boolean;
  readonly unitId: string;
  readonly unitName: string;
  readonly loanId: string;
  readonly inputs: readonly ComputationInput[];
}

/** Asks for a set to be analysed. Equal inputs share one computation; nothing is computed twice. */
export async function requestAnalysis(
  change: Change,
  setId: string,
  recipe: AnalysisRecipe,
): Promise<{ analysisId: string; shared: boolean }> {
  const [set] = await change.tx.$queryRaw<AskedSet[]>`
    select s."name", s."invented", u."id" as "unitId", u."name" as "unitName", u."loanId",
      (select coalesce(json_agg(json_build_object('file', f."name", 'sha256', f."sha256") order by f."id"), '[]')
       from "SetFile" f where f."setId" = s."id") as "inputs"
    from "MeasurementSet" s join "Unit" u on u."id" = s."unitId" where s."id" = ${setId}::uuid`;
  if (!set) throw new NotFound('That measurement set is not there (any more).');
  const { inputs } = set;
  if (inputs.length === 0) throw new SetEmpty('The set has no files yet: upload some first.');
  const key = computationKey(inputs, recipe.settings, recipe.algorithmVersion, set.invented);
  const turn = await nextTurn(change.tx, change.actor.id);
  const made = await change.tx.$executeRaw`
    insert into "Computation" ("id", "askedBy", "turn", "algorithmVersion", "settings", "inputs", "invented")
    values (${key}, ${change.actor.id}::uuid, ${turn}, ${recipe.algorithmVersion},
      ${JSON.stringify(json(recipe.settings))}::jsonb, ${JSON.stringify(json(inputs))}::jsonb, ${set.invented})
    on conflict do nothing`;
  const analysis = await change.tx.analysis.create({
    data: { setId, computationId: key, requestedBy: change.actor.id },
  });
  if (made === 1) change.request('read-set', `read-${key}`, { computationId: key }, turn);
  change.record({
    action: 'analysis-requested',
    subject: 'set',
    subjectId: setId,
    loanId: set.loanId,
    sentence: `asked for “${set.name}” of ${set.unitName} to be analysed`,
  });
  await publishProgress(change, key, analysis.id);
  // Answered at once by an equal set's computation.
  if (made === 0) await archiveUnits(change, [set.unitId]);
  return { analysisId: analysis.id, shared: made === 0 };
}

/** Puts a computation that was set aside back to work. */
export async function retryComputation(change: Change, computationId: string): Promise<boolean> {
  const reset = await change.tx.computation.updateMany({
    where: { id: computationId, state: 'quarantined' },
    data: { state: 'queued', reason: null, progress: 0, attempts: 0, finishedAt: null },
  });
  if (reset.count === 0) return false;
  // A new job id: the queue still remembers the failed one.
  const tries = await change.tx.outboxRequest.count({
    where: { jobId: { startsWith: `read-${computationId}` } },
  });
  change.request('read-set', `read-${computationId}-again-${tries}`, { computationId });
  await publishProgress(change, computationId);
  return true;
}

export interface ComputationStep {
  readonly state: ComputationState;
  readonly progress: number;
  /** Work at this state begins: how often it has, counting from a state's first time. */
  readonly begins?: 'first' | 'again';
  readonly reason?: string | null;
  readonly problems?: readonly ProblemView[];
  readonly series?: string;
  readonly result?: unknown;
  readonly summary?: unknown;
  readonly profile?: unknown;
  readonly figures?: unknown;
  readonly computeMs?: number;
}

/** The whole, and what pages ask of many results at once. */
export function resultColumns(result: unknown) {
  const { quality, findings } = (result ?? {}) as { quality?: unknown; findings?: unknown };
  return {
    result: json(result),
    packedResult: null,
    quality: json(quality ?? []),
    findings: json(findings ?? []),
  };
}

const ended: readonly ComputationState[] = ['done', 'refused', 'quarantined'];

/**
 * Moves a computation on and tells every set that waits for it; once, however often it is tried: only from the states
 * named.
 *
 * @returns false when it is in none of them (any more)
 */
export async function stepComputation(
  change: Change,
  computationId: string,
  from: readonly ComputationState[],
  step: ComputationStep,
): Promise<boolean> {
  const data: Prisma.ComputationUpdateManyMutationInput = { state: step.state, progress: step.progress };
  if (step.begins) data.attempts = step.begins === 'first' ? 1 : { increment: 1 };
  if (step.reason !== undefined) data.reason = step.reason;
  if (step.problems) data.problems = json(step.problems);
  if (step.series) data.series = step.series;
  if (step.result !== undefined) Object.assign(data, resultColumns(step.result));
  if (step.summary !== undefined) data.summary = json(step.summary);
  if (step.profile !== undefined) data.profile = step.profile === null ? Prisma.DbNull : json(step.profile);
  if (step.figures !== undefined) data.figures = json(step.figures);
  if (step.computeMs !== undefined) data.computeMs = step.computeMs;
  if (ended.includes(step.state)) data.finishedAt = new Date();
  // Not the whole row back: a result is half a megabyte.
  const moved = await change.tx.computation.updateMany({
    where: { id: computationId, state: { in: [...from] } },
    data,
  });
  if (moved.count === 0) return false;
  await publishProgress(change, computationId);
  return true;
}

async function publishProgress(change: Change, computationId: string, analysisId?: string): Promise<void> {
  const only = analysisId === undefined ? Prisma.empty : Prisma.sql`and a."id" = ${analysisId}::uuid`;
  const told = await summaries(change.tx, Prisma.sql`c."id" = ${computationId} ${only}`);
  for (const summary of told) {
    change.publish(
      'team',
      ended.includes(summary.state) ? 'analysis-finished' : 'analysis-progress',
      summary,
    );
  }
}

/** Those under way, the oldest first. */
export function runningAnalyses(tx: Tx): Promise<AnalysisSummary[]> {
  return summaries(
    tx,
    Prisma.sql`c."state" in (${Prisma.raw(statesAtWork.map((state) => `'${state}'`).join(', '))})`,
  );
}

type SummaryRow = Omit<AnalysisSummary, 'createdAt' | 'finishedAt'> & {
  createdAt: Date;
  finishedAt: Date | null;
};

/** In one way to the database: every step of a computation asks for it. */
async function summaries(tx: Tx, which: Prisma.Sql): Promise<AnalysisSummary[]> {
  const rows = await tx.$queryRaw<SummaryRow[]>`
    select a."id", a."setId", s."name" as "setName", u."id" as "unitId", u."name" as "unitName", u."loanId",
      c."state"::text as "state", c."progress", c."reason", a."createdAt", c."finishedAt",
      coalesce((c."summary"->>'blocking')::integer, 0) as "blocking",
      coalesce((c."summary"->>'checks')::integer, 0) as "checks"
    from "Computation" c join "Analysis" a on a."computationId" = c."id"
      join "MeasurementSet" s on s."id" = a."setId" join "Unit" u on u."id" = s."unitId"
    where ${which} order by a."createdAt", a."id"`;
  return rows.map((row) => ({
    ...row,
    createdAt: row.createdAt.toISOString(),
    finishedAt: row.finishedAt?.toISOString() ?? null,
  }));
}
