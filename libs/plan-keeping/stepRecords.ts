/** What steps really took: marked by people, or read off what they did; and what the team learns from it. */
import type { z } from 'zod';
import type { EstimateView, MarkStep, StepView } from '../contracts/index.js';
import {
  putInBin,
  change,
  NotFound,
  StaleVersion,
  theHouse,
  type Actor,
  type Change,
  type Database,
  type Tx,
} from '../store/index.js';
import { learnEstimates } from '../planning/loan/estimates.js';
import { bookingView, loadNames } from './planViews.js';
import { loadBookings, minutesOf, type BookingRow } from './bookingRows.js';
import { stepTemplate, workTemplates } from './workTemplates.js';
import type { TeamPlan } from './teamPlan.js';
import { teamPlan } from './teamPlan.js';

type Mark = z.output<typeof MarkStep>;

export async function loanSteps(database: Database, loanId: string, now: Date): Promise<StepView[]> {
  const [team, names, rows, records] = await Promise.all([
    teamPlan(database, now),
    loadNames(database.prisma),
    loadBookings(database.prisma, { loanId, cancelledAt: null }),
    database.prisma.stepRecord.findMany({ where: { loanId } }),
  ]);
  if (names.loan(loanId) === '') throw new NotFound('That loan is not there (any more).');
  const planned = team.plans.get(loanId)?.steps ?? [];
  const known = new Set(planned.map(({ stepId }) => stepId));
  // Of a closed loan only what was recorded is left.
  const recorded = records
    .filter(({ stepId }) => !known.has(stepId))
    .map(({ stepId, kind, unitId }) => ({ stepId, code: kind, title: kind, unitId, state: 'done' as const }));
  return [...planned, ...recorded].map((step): StepView => {
    const record = records.find(({ stepId }) => stepId === step.stepId);
    return {
      stepId: step.stepId,
      kind: step.code,
      label: step.title,
      unitId: step.unitId,
      state: record?.state === 'skipped' && step.state === 'done' ? 'skipped' : step.state,
      startedAt: record?.startedAt?.toISOString() ?? null,
      finishedAt: record?.finishedAt?.toISOString() ?? null,
      minutes: record?.minutes ?? null,
      derived: record?.derived ?? false,
      note: record?.note ?? '',
      version: record?.version ?? 0,
      sessions: rows
        .filter(({ stepId }) => stepId === step.stepId)
        .map((row) => bookingView(row, names, now)),
    };
  });
}

export async function markStep(
  database: Database,
  by: Actor,
  loanId: string,
  stepId: string,
  ask: Mark,
  now: Date,
): Promise<void> {
  const step = (await loanSteps(database, loanId, now)).find((one) => one.stepId === stepId);
  if (!step) throw new NotFound('That step is no step of this loan.');
  await change(database, by, async (made) => {
    const loan = await made.tx.loan.findUniqueOrThrow({ where: { id: loanId }, include: { units: true } });
    const rows = await loadBookings(made.tx, { loanId, stepId, cancelledAt: null });
    const before = await made.tx.stepRecord.findUnique({ where: { loanId_stepId: { loanId, stepId } } });
    if ((before?.version ?? 0) !== ask.version) throw new StaleVersion(before);
    if (ask.state === 'open') {
      if (before) {
        const root = { table: 'StepRecord', column: 'id', value: before.id } as const;
        await putInBin(made, {
          kind: 'step',
          root,
          title: `“${step.label}”`,
          within: loan.title,
          loanId,
          told: true,
        });
      }
    } else {
      const unitKind = (loan.units.find(({ id }) => id === step.unitId) ?? loan.units[0])?.kind ?? 'other';
      const data = {
        ...markColumns(ask, ask.state, before, rows, now),
        derived: false,
        markedBy: by.id,
        note: ask.note ?? before?.note ?? '',
      };
      await made.tx.stepRecord.upsert({
        where: { loanId_stepId: { loanId, stepId } },
        create: { loanId, stepId, kind: step.kind, unitId: step.unitId, unitKind, ...data },
        update: { ...data, version: { increment: 1 } },
      });
    }
    tellStep(made, loan, `${stateWords[ask.state]} “${step.label}”`);
  });
}

const stateWords = {
  running: 'began',
  done: 'finished',
  skipped: 'passes over',
  open: 'opened again',
} as const;

function tellStep(made: Change, loan: { id: string; title: string; stage: string }, sentence: string): void {
  made.record({ action: 'step-marked', subject: 'loan', subjectId: loan.id, loanId: loan.id, sentence });
  made.publish('team', 'loan-changed', {
    loanId: loan.id,
    title: loan.title,
    stage: loan.stage as never,
    by: made.actor.name,
    sentence,
  });
}

function markColumns(
  ask: Mark,
  state: 'running' | 'done' | 'skipped',
  before: { startedAt: Date | null; minutes: number | null } | null,
  rows: readonly BookingRow[],
  now: Date,
) {
  const asDate = (instant: string | null | undefined) =>
    typeof instant === 'string' ? new Date(instant) : null;
  const first = rows.find(({ start, outcome }) => start <= now && outcome !== 'missed')?.start ?? null;
  const startedAt =
    asDate(ask.startedAt) ??
    before?.startedAt ??
    (state === 'running' ? now : state === 'done' ? first : null);
  const finishedAt = state === 'done' ? (asDate(ask.finishedAt) ?? now) : null;
  const minutes =
    ask.minutes ?? (state === 'done' ? workedMinutes(rows, startedAt, finishedAt ?? now) : null) ?? null;
  return { state, startedAt, finishedAt, minutes: state === 'skipped' ? null : minutes };
}

/** At most a working day lies between a beginning and an end that stand for themselves. */
const ONE_GO_MINUTES = 12 * 60;

/** From the sessions that took place, up to the end; without any, from a beginning and an end on one day. */
export function workedMinutes(
  rows: readonly BookingRow[],
  startedAt: Date | null,
  finishedAt: Date,
): number | null {
  const worked = rows.filter(({ start, outcome }) => start < finishedAt && outcome !== 'missed');
  if (worked.length > 0) {
    return worked.reduce(
      (sum, row) =>
        sum + minutesOf({ start: row.start, finish: row.finish < finishedAt ? row.finish : finishedAt }),
      0,
    );
  }
  const minutes = startedAt === null ? 0 : (finishedAt.getTime() - startedAt.getTime()) / 60_000;
  return minutes > 0 && minutes <= ONE_GO_MINUTES ? minutes : null;
}

/**
 * Steps that became done by what people did (a stage left, data complete, a sealed session): recorded with the
 * sessions they took. One row per step makes it once, however many servers look.
 */
export async function recordDoneSteps(database: Database, team: TeamPlan, now: Date): Promise<number> {
  const { loans } = team.house.input;
  const missing = loans.flatMap((loan) => {
    const known = new Set(loan.stepRecords.map(({ stepId }) => stepId));
    return (team.plans.get(loan.id)?.steps ?? [])
      .filter(({ done, stepId, start }) => done && !known.has(stepId) && start !== null)
      .map((step) => ({ loan, step }));
  });
  let recorded = 0;
  for (const { loan, step } of missing) {
    const unitKind = (loan.units.find(({ id }) => id === step.unitId) ?? loan.units[0])?.kind ?? 'other';
    recorded += await change(database, theHouse, async (made) => {
      const rows = await loadBookings(made.tx, { loanId: loan.id, stepId: step.stepId, cancelledAt: null });
      const begun = rows.filter(({ start }) => start <= now);
      const first = begun[0];
      if (!first) return 0;
      const finishedAt = (await evidenceAt(made.tx, step.code, loan.id, step.unitId)) ?? now;
      const written = await made.tx.stepRecord.createMany({
        data: [
          {
            loanId: loan.id,
            stepId: step.stepId,
            kind: step.code,
            unitId: step.unitId,
            unitKind,
            state: 'done',
            startedAt: first.start,
            finishedAt,
            minutes: workedMinutes(begun, first.start, finishedAt),
            derived: true,
          },
        ],
        skipDuplicates: true,
      });
      return written.count;
    });
  }
  return recorded;
}

/** When what makes a step done happened. */
async function evidenceAt(tx: Tx, kind: string, loanId: string, unitId: string | null): Promise<Date | null> {
  if (kind === 'listening') {
    const sealed = await tx.listeningSession.findFirst({
      where: { unit: { loanId }, sealedAt: { not: null } },
      orderBy: { sealedAt: 'desc' },
    });
    return sealed?.sealedAt ?? null;
  }
  if (unitId !== null) {
    const set = await tx.setFile.findFirst({
      where: { set: { unitId, setAsideWhy: null } },
      orderBy: { createdAt: 'desc' },
    });
    return set?.createdAt ?? null;
  }
  const moved = await tx.historyEntry.findFirst({
    where: { loanId, action: { in: ['loan-moved', 'loan-moved-by-override'] } },
    orderBy: { at: 'desc' },
  });
  return moved?.at ?? null;
}

const RECENT = 5;

/** Median and quartiles of what each kind of step took on each kind of unit. */
export async function estimates(tx: Tx): Promise<EstimateView[]> {
  const [records, templates] = await Promise.all([
    tx.stepRecord.findMany({
      where: { state: 'done', minutes: { gt: 0 } },
      include: { loan: { select: { title: true, units: { select: { id: true } } } } },
      orderBy: { finishedAt: 'desc' },
    }),
    workTemplates(tx),
  ]);
  const history = records.map((record) => {
    const template = stepTemplate(templates, [{ kind: record.unitKind }], record.kind);
    // A template counts one unit; a loan of two takes it twice where units add up.
    const addsUp = template?.per === 'loan' && template.combine === 'sum';
    const units = addsUp ? Math.max(1, record.loan.units.length) : 1;
    return {
      record,
      template,
      kind: record.kind,
      unitKind: record.unitKind,
      minutes: (record.minutes ?? 0) / units,
    };
  });
  return learnEstimates(history).map((estimate): EstimateView => {
    const own = history.filter(
      ({ kind, unitKind }) => kind === estimate.kind && unitKind === estimate.unitKind,
    );
    return {
      ...estimate,
      label: own[0]?.template?.label ?? estimate.kind,
      templateMinutes: own[0]?.template?.minutes ?? 0,
      recent: own.slice(0, RECENT).map(({ record, minutes }) => ({
        loanId: record.loanId,
        loanTitle: record.loan.title,
        minutes,
        finishedAt: record.finishedAt?.toISOString() ?? null,
      })),
    };
  });
}
