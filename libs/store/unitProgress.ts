/** How far a unit's measurements have come: what its current analyses hold against its plan. */
import { planState, type HeldData, type PlannedState, type UnitFacts } from '../loan-life/index.js';
import { statesAtWork, type PlannedDataSetView, type UnitKind } from '../contracts/index.js';
import type { Tx } from './database.js';
import { Prisma, type ComputationState } from './generated/client.js';
import { stageOf } from './loanSearch.js';

export interface ComputationSummary {
  readonly held: HeldData;
  readonly blocking: number;
  readonly checks: number;
  readonly notes: number;
  readonly numbers: Readonly<Record<string, number | string | null>>;
}

interface ProgressRow {
  readonly id: string;
  readonly loanId: string;
  readonly name: string;
  readonly kind: UnitKind;
  readonly plan: PlannedRow[];
  readonly sealedSessions: number;
  /** Of each set that counts: its latest computation. */
  readonly latest: LatestRow[];
}
type PlannedRow = Omit<KnownState, 'state' | 'stillMissing'>;
type LatestRow = Partial<Pick<ComputationSummary, 'held' | 'blocking'>> & {
  readonly state: ComputationState;
};

/** The house itself knows every state; only a view for somebody keeps one back. */
type KnownState = Omit<PlannedDataSetView, 'state'> & Pick<PlannedState, 'state'>;

export interface UnitState {
  readonly loanId: string;
  readonly facts: UnitFacts;
  readonly plan: KnownState[];
}

export type WhichUnits =
  | { readonly unitIds: readonly string[] }
  | { readonly loanIds: readonly string[] }
  /** Of one of whose sets this computation is an answer. */
  | { readonly computationId: string }
  | 'of-open-loans';

const conditionOf = (which: WhichUnits): Prisma.Sql => {
  if (which === 'of-open-loans')
    return Prisma.sql`u."loanId" in (select l."id" from "Loan" l where ${stageOf('open')})`;
  if ('computationId' in which)
    return Prisma.sql`u."id" in (select m."unitId" from "Analysis" a join "MeasurementSet" m on m."id" = a."setId"
      where a."computationId" = ${which.computationId})`;
  return 'unitIds' in which
    ? Prisma.sql`u."id" = any(${which.unitIds}::uuid[])`
    : Prisma.sql`u."loanId" = any(${which.loanIds}::uuid[])`;
};

/** Every list of loans asks this: one statement, and of the summaries only what counts here. */
export async function unitStates(tx: Tx, which: WhichUnits): Promise<Map<string, UnitState>> {
  const units = await tx.$queryRaw<ProgressRow[]>`
    select u."id", u."loanId", u."name", u."kind"::text as "kind",
      (select coalesce(json_agg(json_build_object('id', p."id", 'code', p."code", 'title', p."title", 'detail', p."detail",
         'waivedWhy', p."waivedWhy", 'version', p."version") order by p."position"), '[]')
       from "PlannedDataSet" p where p."unitId" = u."id") as "plan",
      (select count(*)::int from "ListeningSession" s
       where s."unitId" = u."id" and s."sealedAt" is not null) as "sealedSessions",
      (select coalesce(json_agg(json_build_object('state', c."state", 'held', c."summary"->'held',
         'blocking', c."summary"->'blocking')), '[]')
       from "MeasurementSet" m
       cross join lateral (select a."computationId" from "Analysis" a where a."setId" = m."id"
         order by a."createdAt" desc limit 1) a
       join "Computation" c on c."id" = a."computationId"
       where m."unitId" = u."id" and m."setAsideWhy" is null) as "latest"
    from "Unit" u where ${conditionOf(which)} order by u."createdAt", u."id"`;
  return new Map(units.map((unit) => [unit.id, stateOf(unit)]));
}

function stateOf(unit: ProgressRow): UnitState {
  const done = unit.latest.filter(({ state, held }) => state === 'done' && held);
  const inWork = unit.latest.some(({ state }) => statesAtWork.some((atWork) => atWork === state));
  const progress = { held: done.flatMap(({ held }) => held ?? []), inWork };
  const plan = unit.plan.map((planned): KnownState => {
    const { state, stillMissing } =
      planned.waivedWhy === null
        ? planState(planned.code, progress)
        : ({ state: 'waived', stillMissing: '' } as const);
    return { ...planned, state, stillMissing };
  });
  return {
    loanId: unit.loanId,
    plan,
    facts: {
      id: unit.id,
      name: unit.name,
      kind: unit.kind,
      plan: plan satisfies PlannedState[],
      blockingFindings: done.reduce((sum, { blocking = 0 }) => sum + blocking, 0),
      sealedSessions: unit.sealedSessions,
    },
  };
}
