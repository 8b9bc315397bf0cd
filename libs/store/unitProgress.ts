/** How far a unit's measurements have come: what its current analyses hold against its plan. */
import { planState, type HeldData, type PlannedState, type UnitFacts } from '../loan-life/index.js';
import type { PlannedDataSetView } from '../contracts/index.js';
import type { Tx } from './database.js';
import type { Prisma } from './generated/client.js';

export interface ComputationSummary {
  readonly held: HeldData;
  readonly blocking: number;
  readonly checks: number;
  readonly notes: number;
  readonly numbers: Readonly<Record<string, number | string | null>>;
}

const unitForProgress = {
  id: true,
  name: true,
  kind: true,
  plan: { orderBy: { position: 'asc' } },
  listening: { where: { sealedAt: { not: null } }, select: { id: true } },
  sets: {
    where: { setAsideWhy: null },
    select: {
      id: true,
      analyses: {
        orderBy: { createdAt: 'desc' },
        take: 1,
        select: { computation: { select: { state: true, summary: true } } },
      },
    },
  },
} satisfies Prisma.UnitSelect;

/** The house itself knows every state; only a view for somebody keeps one back. */
type KnownState = Omit<PlannedDataSetView, 'state'> & Pick<PlannedState, 'state'>;

export interface UnitState {
  readonly facts: UnitFacts;
  readonly plan: KnownState[];
}

export async function unitStates(tx: Tx, where: Prisma.UnitWhereInput): Promise<Map<string, UnitState>> {
  const units = await tx.unit.findMany({ where, select: unitForProgress });
  return new Map(units.map((unit) => [unit.id, stateOf(unit)]));
}

function stateOf(unit: Prisma.UnitGetPayload<{ select: typeof unitForProgress }>): UnitState {
  const latest = unit.sets.flatMap((set) => set.analyses.map(({ computation }) => computation));
  const summaries = latest.flatMap(({ state, summary }) =>
    state === 'done' && summary ? [summary as unknown as ComputationSummary] : [],
  );
  const inWork = latest.some(({ state }) => ['queued', 'reading', 'analysing', 'drawing'].includes(state));
  const progress = { held: summaries.map(({ held }) => held), inWork };
  const plan = unit.plan.map(({ id, code, title, detail, waivedWhy, version }): KnownState => {
    const { state, stillMissing } =
      waivedWhy === null ? planState(code, progress) : ({ state: 'waived', stillMissing: '' } as const);
    return { id, code, title, detail, state, stillMissing, waivedWhy, version };
  });
  return {
    plan,
    facts: {
      id: unit.id,
      name: unit.name,
      kind: unit.kind,
      plan: plan satisfies PlannedState[],
      blockingFindings: summaries.reduce((sum, { blocking }) => sum + blocking, 0),
      sealedSessions: unit.listening.length,
    },
  };
}
