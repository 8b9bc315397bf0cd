/** What is done of a loan's steps: read off its stage, its data and its sealed sessions, or marked by people. */
import type { StepProgress } from '../planning/planLoans.js';
import type { UnitState } from '../store/index.js';

export interface ProgressLoan {
  readonly stage: string;
  readonly publishedAt: Date | null;
  readonly returnTracking: string | null;
  readonly units: readonly { readonly id: string }[];
  readonly stepRecords: readonly {
    readonly kind: string;
    readonly unitId: string | null;
    readonly state: 'running' | 'done' | 'skipped';
    readonly derived: boolean;
    readonly startedAt: Date | null;
    readonly finishedAt: Date | null;
  }[];
}

/** What each step of the plan answers to in the measurement plan. */
const stepOfDataSet = (code: string): string =>
  code === 'impedance'
    ? 'impedance'
    : code.endsWith('-orbit') || code.startsWith('front-') || code === 'on-axis'
      ? 'orbits'
      : 'distortion';
const measured = ['impedance', 'orbits', 'distortion'];

export const stepIdOf = (kind: string, unitId: string | null | undefined): string =>
  unitId ? `${kind}:${unitId}` : kind;

export function loanProgress(loan: ProgressLoan, states: ReadonlyMap<string, UnitState>): StepProgress[] {
  const derived = [
    ...stageProgress(loan, states),
    ...loan.units.flatMap(({ id }) => unitProgress(states.get(id))),
  ];
  const faulty = faultySteps(loan, states);
  const marked = loan.stepRecords
    // What was read off the data is read anew each time; a mark does not stand against faulty data.
    .filter((record) => !record.derived && !faulty.has(stepIdOf(record.kind, record.unitId)))
    .map((record): StepProgress => ({
      kind: record.kind,
      ...(record.unitId ? { unitId: record.unitId } : {}),
      state: record.state,
      ...(record.startedAt ? { startedAt: record.startedAt.toISOString() } : {}),
      ...(record.finishedAt ? { finishedAt: record.finishedAt.toISOString() } : {}),
    }));
  const known = new Set(derived.map(({ kind, unitId }) => stepIdOf(kind, unitId)));
  return [...derived, ...marked.filter(({ kind, unitId }) => !known.has(stepIdOf(kind, unitId)))];
}

/** Steps whose data must be measured again. */
export function faultySteps(loan: ProgressLoan, states: ReadonlyMap<string, UnitState>): Set<string> {
  return stepsWithData(loan, states, ['faulty']);
}

/** Steps of which some data is here: work on them took place. */
export function stepsWithEvidence(loan: ProgressLoan, states: ReadonlyMap<string, UnitState>): Set<string> {
  return stepsWithData(loan, states, ['faulty', 'complete', 'in-work']);
}

function stepsWithData(
  loan: ProgressLoan,
  states: ReadonlyMap<string, UnitState>,
  wanted: readonly string[],
): Set<string> {
  return new Set(
    loan.units.flatMap(({ id }) =>
      (states.get(id)?.plan ?? [])
        .filter(({ state }) => wanted.includes(state))
        .map(({ code }) => stepIdOf(stepOfDataSet(code), id)),
    ),
  );
}

const drafted = ['published', 'returning', 'closed'];
const unpacked = ['measuring', 'listening', 'drafting', ...drafted];

function stageProgress(loan: ProgressLoan, states: ReadonlyMap<string, UnitState>): StepProgress[] {
  const done: StepProgress[] = [];
  const finish = (...kinds: string[]) =>
    done.push(...kinds.map((kind) => ({ kind, state: 'done' as const })));
  if (unpacked.includes(loan.stage)) finish('unpack');
  const heard = loan.units.filter((unit) => (states.get(unit.id)?.facts.sealedSessions ?? 0) > 0);
  if (loan.units.length > 0 && heard.length === loan.units.length) finish('listening');
  if (loan.publishedAt !== null || loan.stage === 'published') finish('drafting', 'film', 'edit', 'publish');
  else if (loan.stage === 'returning') finish('drafting');
  if (loan.stage === 'returning' && loan.returnTracking) finish('pack');
  return done;
}

function unitProgress(state: UnitState | undefined): StepProgress[] {
  if (!state) return [];
  const unitId = state.facts.id;
  const done: StepProgress[] = [];
  for (const step of measured) {
    const asked = state.plan.filter(({ code }) => stepOfDataSet(code) === step);
    const open = asked.filter((planned) => planned.state !== 'complete' && planned.state !== 'waived');
    if (asked.length === 0) done.push({ kind: step, unitId, state: 'skipped' });
    else if (open.length === 0) done.push({ kind: step, unitId, state: 'done' });
  }
  // Once anything has been measured, the unit has been run in.
  if (state.plan.some((planned) => planned.state === 'complete'))
    done.push({ kind: 'run-in', unitId, state: 'done' });
  return done;
}
