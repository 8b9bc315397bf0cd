import type { Random } from '../engine/random.js';
import { Effort } from '../search/effort.js';
import { iteratedDynasearch, type Jobs, type Sequence } from './dynasearch.js';
import { prove } from './proof.js';

/** Share of the schedules tried before a proof; most instances need no more. */
const firstShare = 0.3;
/** Steps of the proof per job of a schedule that may be tried, and the least a proof gets. */
const proofPerStart = 1.2;
const proofLeast = 5e6;

/**
 * Jobs on one machine: search, then a proof that nothing is better, then more search if there is none.
 *
 * @param bound what the objective cannot go below for certain
 * @returns the best sequence and a lower bound on all
 */
export function solveJobs(
  jobs: Jobs,
  effort: Effort,
  bound: number,
  random: Random,
): { sequence: Sequence; lowerBound: number } {
  const first = new Effort(Math.max(1, effort.limit * firstShare));
  const found = iteratedDynasearch(jobs, first, () => bound, random);
  effort.spendStarts(first.tried, 1);
  if (found.cost <= bound) return { sequence: found, lowerBound: bound };
  const work = Math.max(proofLeast, proofPerStart * effort.limit * jobs.duration.length);
  const { sequence, lowerBound } = prove(jobs, found, work);
  if (sequence.cost <= lowerBound || effort.exhausted) return { sequence, lowerBound };
  const rest = new Effort(effort.left);
  const more = iteratedDynasearch(jobs, rest, () => lowerBound, random, sequence);
  effort.spendStarts(rest.tried, 1);
  return { sequence: more.cost < sequence.cost ? more : sequence, lowerBound };
}
