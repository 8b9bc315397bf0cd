import { planTasks, type TaskPlan } from '../../libs/planning/planTasks.js';
import {
  planLoans,
  type Booking,
  type LoanInput,
  type PlanLoansInput,
} from '../../libs/planning/planLoans.js';
import { checkPlan, type PlanFile } from '../../libs/planning/testing/checkPlan.js';
import { pairedMedians } from './pairedMedians.js';
import { findBenchmarks, readProjects, readSingleMachine, type KnownInstance } from './planningInstances.js';
import type { BenchRow } from './row.js';

const SLIP_MS = 86_400_000;
const LIMIT_MS = 2000;

/** The scheduling engine on published instances, and the loan planner on a busy house. */
export function benchPlanning(): Promise<readonly BenchRow[]> {
  const folder = findBenchmarks();
  if (folder === null) {
    console.error(
      '  published instances: none found; set SOJOURN_BENCHMARKS to their folder. Leaving those rows out.',
    );
  }
  const published =
    folder === null
      ? []
      : [...singleMachineRows(readSingleMachine(folder)), ...projectRows(readProjects(folder))];
  return loanRows().then((rows) => [...published, ...rows]);
}

/** A plan that the independent check accepts; a bench that measured wrong plans would measure nothing. */
function checkedPlan(file: PlanFile): TaskPlan & { readonly objective: number } {
  const plan = planTasks(file);
  const wrong = checkPlan(file, plan);
  if (plan.objective === null || wrong.length > 0)
    throw new Error(`wrong plan: ${wrong.slice(0, 3).join('; ')}`);
  return { ...plan, objective: plan.objective };
}

function singleMachineRows(instances: readonly KnownInstance[]): BenchRow[] {
  const results = instances.map(({ file, optimum }) => {
    const begin = performance.now();
    const { objective } = checkedPlan({ ...file, budget: { milliseconds: LIMIT_MS } });
    return { ms: performance.now() - begin, hit: objective === optimum };
  });
  const hits = results.filter(({ hit }) => hit).length;
  const slowest = Math.max(...results.map(({ ms }) => ms));
  return [
    row(
      'weighted tardiness, one machine, 40 jobs: optima found (peer: the published optima)',
      hits,
      instances.length,
      'instances',
      true,
      1,
    ),
    row(
      'weighted tardiness, one machine, 40 jobs: slowest instance (peer: the time it may take)',
      slowest,
      LIMIT_MS,
      'ms',
      false,
      1,
    ),
  ];
}

/** Makespan over the proven optimum; the peer is one schedule by the priority rule the search begins with. */
function projectRows(instances: readonly KnownInstance[]): BenchRow[] {
  return [1000, 5000].map((schedules) => {
    const over = instances.map(({ file, optimum }) => {
      const plan = checkedPlan({ ...file, budget: { schedules } });
      if (plan.schedulesTried > schedules)
        throw new Error(`tried ${plan.schedulesTried} of ${schedules} schedules`);
      if (plan.objective < optimum)
        throw new Error(`${plan.objective} is below the proven optimum ${optimum}`);
      if (plan.provenOptimal && plan.objective !== optimum) throw new Error('a proof that is none');
      return (100 * (plan.objective - optimum)) / optimum;
    });
    const single = instances.map(({ file, optimum }) => {
      const { objective } = checkedPlan({ ...file, budget: { schedules: 1 } });
      return (100 * (objective - optimum)) / optimum;
    });
    const name = `projects of 30 tasks: makespan over the optimum at ${schedules} schedules (peer: the latest-finish rule alone)`;
    return row(name, mean(over), mean(single), '%', false, 1);
  });
}

async function loanRows(): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  for (const [count, runs] of [
    [30, 15],
    [300, 3],
  ] as const) {
    const input = busyHouse(count);
    const previous = planLoans(input).bookings;
    const slipped = withSlip({ ...input, previous });
    const fromNothing = { ...slipped, previous: [] };
    const [ours, peer] = await pairedMedians([() => timed(slipped), () => timed(fromNothing)], runs, 2);
    rows.push(
      row(
        `${count} loans planned again after a crate comes a day late (peer: planned from nothing)`,
        ours,
        peer,
        'ms',
        false,
        runs,
      ),
    );
    const moved = changedBookings(previous, planLoans(slipped).bookings);
    const anew = changedBookings(previous, planLoans(fromNothing).bookings);
    rows.push(
      row(
        `${count} loans, a crate comes a day late: bookings moved (peer: planned from nothing)`,
        moved,
        anew,
        'bookings',
        false,
        1,
      ),
    );
  }
  return rows;
}

function timed(input: PlanLoansInput): number {
  const begin = performance.now();
  planLoans(input);
  return performance.now() - begin;
}

function changedBookings(before: readonly Booking[], after: readonly Booking[]): number {
  const places = new Map(before.map((one) => [one.id, `${one.start} ${one.resourceIds.join()}`]));
  return after.filter((one) => places.get(one.id) !== `${one.start} ${one.resourceIds.join()}`).length;
}

/** The first crate that is still on its way comes a day later. */
function withSlip(input: PlanLoansInput): PlanLoansInput {
  const late = input.loans.findIndex(({ arrived }) => !arrived);
  const slip = (loan: LoanInput): LoanInput => ({
    ...loan,
    arrival: loan.arrival === null ? null : new Date(Date.parse(loan.arrival) + SLIP_MS).toISOString(),
  });
  return { ...input, loans: input.loans.map((loan, index) => (index === late ? slip(loan) : loan)) };
}

const KINDS = ['standmount', 'floorstander', 'centre', 'subwoofer', 'active', 'panel', 'inwall'];

/** Invented loans, one crate every day and a half, three weeks and more for each; at least eight steps. */
function busyHouse(count: number): PlanLoansInput {
  const now = Date.parse('2026-03-02T08:00:00Z');
  const loans = Array.from({ length: count }, (_, index): LoanInput => {
    const arrives = ((index * 7) % Math.ceil(count * 1.6)) - 5;
    const day = (days: number): string => new Date(now + days * SLIP_MS).toISOString();
    return {
      id: `loan ${index}`,
      title: `Loan ${index}`,
      arrival: day(arrives),
      arrived: arrives < 0,
      returnBy: day(arrives + 24 + 3 * (index % 5)),
      embargo: index % 4 === 0 ? day(arrives + 14) : null,
      freightDaysIn: 3,
      freightDaysOut: 3,
      keepUntilPublished: index % 3 === 0,
      units: [{ id: 'unit', name: `Unit ${index}`, kind: KINDS[index % KINDS.length] }],
    };
  });
  const people = ['Ada', 'Bo', 'Cy', 'Di'].map((name) => ({ id: name, name }));
  const places = [
    { id: 'rig', name: 'the rig' },
    { id: 'room', name: 'the listening room' },
  ];
  return { now: new Date(now).toISOString(), house: { zone: 'Europe/Vienna' }, people, places, loans };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function row(
  name: string,
  ours: number,
  peer: number,
  unit: string,
  higherIsBetter: boolean,
  runs: number,
): BenchRow {
  return { name: `planning: ${name}`, ours, peer, unit, higherIsBetter, runs };
}
