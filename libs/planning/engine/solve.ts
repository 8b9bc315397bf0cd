import { criticalPathBound, windowTardinessBound } from '../bounds/criticalPath.js';
import { destructiveBound } from '../bounds/destructive.js';
import { energyBound } from '../bounds/energy.js';
import { branchAndBound } from '../exact/branch.js';
import { bipopulationSearch } from '../search/bipopulation.js';
import { annealedSearch } from '../search/annealing.js';
import { Decoder, type Individual, type Objective } from '../search/decoder.js';
import { Effort } from '../search/effort.js';
import { ruleSchedules } from '../search/ruleSchedules.js';
import { asSingleMachine } from '../singleMachine/recognise.js';
import { solveJobs } from '../singleMachine/solveJobs.js';
import type { Instance } from './instance.js';
import { Random } from './random.js';
import { windowsOf, type Windows } from './windows.js';

export interface Solution {
  /** Null when no schedule was found that keeps to the pinned tasks and the calendars. */
  readonly start: Float64Array | null;
  readonly objective: number;
  readonly lowerBound: number;
  readonly provenOptimal: boolean;
  /** No schedule was found, and none exists. */
  readonly provenImpossible: boolean;
  readonly schedulesTried: number;
  readonly windows: Windows;
}

/**
 * Find a good schedule, and a bound that says how good.
 *
 * @param schedules how many schedules may be generated (see `Effort`)
 * @param seed equal instance, objective, schedules and seed give an equal result
 */
export function solve(
  instance: Instance,
  { objective, schedules, seed }: { objective: Objective; schedules: number; seed: number },
): Solution {
  const windows = windowsOf(instance);
  const effort = new Effort(schedules);
  const random = new Random(seed);
  const bound = boundOf(instance, windows, objective);
  const jobs = objective === 'weightedTardiness' ? asSingleMachine(instance) : null;
  let found: Found;
  if (jobs) {
    const { sequence, lowerBound } = solveJobs(jobs, effort, bound, random);
    found = { start: jobs.startsOf(sequence.order), value: sequence.cost, lowerBound };
  } else {
    found = searchGeneral({ instance, windows, objective }, bound, effort, random);
  }
  const { start, value, lowerBound } = found;
  return {
    start,
    objective: value,
    lowerBound: Math.min(Math.max(bound, lowerBound), value),
    provenOptimal: start !== null && value <= Math.max(bound, lowerBound),
    provenImpossible: start === null && lowerBound === Infinity,
    schedulesTried: effort.tried,
    windows,
  };
}

interface Found {
  readonly start: Float64Array | null;
  readonly value: number;
  /** No schedule is below; Infinity when it is shown that there is none at all. */
  readonly lowerBound: number;
}

/** Up to this many tasks a proof by branching is tried. */
const branchingTasksMost = 40;

/**
 * Schedules for the search before branching begins. A handful of tasks is soon branched through; with more, branching
 * only pays once the search has had its fill.
 */
function searchShare(tasks: number, schedules: number): number {
  if (tasks > branchingTasksMost) return schedules;
  if (tasks <= 12) return Math.min(300, Math.ceil(schedules / 2));
  return Math.min(schedules, Math.max(8000, Math.ceil(schedules / 2)));
}

function searchGeneral(
  problem: { instance: Instance; windows: Windows; objective: Objective },
  bound: number,
  effort: Effort,
  random: Random,
): Found {
  const schedules = searchShare(problem.instance.taskIds.length, effort.limit);
  const best = search(problem, bound, schedules, effort, random);
  const start = best?.start ?? null;
  const value = best?.value ?? Infinity;
  if (value <= bound || effort.exhausted) return { start, value, lowerBound: bound };
  const proof = branchAndBound(problem, value, effort);
  return {
    start: proof.start ?? start,
    value: proof.value,
    lowerBound: proof.complete ? proof.value : bound,
  };
}

/** Two populations; for weighted tardiness half of the effort goes into annealing what they found. */
function search(
  { instance, windows, objective }: { instance: Instance; windows: Windows; objective: Objective },
  bound: number,
  schedules: number,
  effort: Effort,
  random: Random,
): Individual | null {
  const first = new Effort(objective === 'makespan' ? schedules : Math.ceil(schedules / 2));
  const decoder = new Decoder(instance, windows, objective, first);
  if (objective === 'weightedTardiness') ruleSchedules(decoder, bound);
  bipopulationSearch(decoder, () => bound, random);
  effort.spendStarts(first.tried, 1);
  const second = new Effort(schedules - first.tried);
  if (second.exhausted || (decoder.best?.value ?? Infinity) <= bound) return decoder.best;
  const annealed = new Decoder(instance, windows, objective, second);
  annealed.best = decoder.best;
  annealedSearch(annealed, () => bound, random);
  effort.spendStarts(second.tried, 1);
  return annealed.best;
}

function boundOf(instance: Instance, windows: Windows, objective: Objective): number {
  if (objective === 'weightedTardiness') return windowTardinessBound(instance, windows);
  const simple = Math.max(criticalPathBound(instance, windows), energyBound(instance, windows));
  return destructiveBound(instance, windows, simple, windows.horizon);
}
