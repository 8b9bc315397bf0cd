import { sequenceCost, type Jobs, type Sequence } from './dynasearch.js';
import { knownOrders } from './precedence.js';
import { raiseBound } from './raiseBound.js';
import { Relaxation } from './relaxation.js';
import { subsetSearch } from './subsetSearch.js';

export interface Proof {
  /** The sequence given, or a better one that was found on the way. */
  readonly sequence: Sequence;
  /** No sequence costs less. */
  readonly lowerBound: number;
}

/** Beyond these the tables would not fit, or numbers would not be exact enough for a proof. */
const nodesMost = 4_000_000;
const costMost = 1e11;
/** Steps that one kept set of jobs stands for. */
const workPerState = 60;
const statesMost = 1_000_000;

/**
 * A lower bound on the weighted tardiness of all sequences, and where the work allows it the proof that a sequence is
 * best: a relaxation whose bound is raised, then dynamic programming over what the bound leaves possible.
 *
 * @param work elementary steps that may be spent; a count, so that equal input gives an equal answer
 */
export function prove(jobs: Jobs, sequence: Sequence, work: number): Proof {
  const total = jobs.duration.reduce((sum, length) => sum + length, 0);
  if (sequence.cost === 0) return { sequence, lowerBound: 0 };
  if (total * jobs.duration.length > nodesMost || sequence.cost > costMost)
    return { sequence, lowerBound: 0 };
  const wholeWeights = jobs.weight.every((weight) => Number.isInteger(weight));
  const tolerance = 1e-6 + 1e-12 * sequence.cost;
  // With whole weights the next better cost is a whole unit lower.
  const limit = wholeWeights ? sequence.cost - 1 + tolerance : sequence.cost - tolerance;
  const order = knownOrders(jobs);
  const relaxation = new Relaxation(jobs, order);
  const raised = raiseBound(relaxation, limit, 0.6 * work);
  const lowerBound = Math.max(0, wholeWeights ? Math.ceil(raised - tolerance) : raised - tolerance);
  if (raised > limit || lowerBound >= sequence.cost) return { sequence, lowerBound: sequence.cost };
  relaxation.sweepBack();
  relaxation.prune(limit);
  relaxation.sweepBack();
  const states = Math.min(statesMost, Math.max(0, work - relaxation.work) / workPerState);
  const { complete, order: better } = subsetSearch({ jobs, order, relaxation }, limit, states);
  if (!complete) return { sequence, lowerBound: Math.min(lowerBound, sequence.cost) };
  const best = better ? { order: better, cost: sequenceCost(jobs, better) } : sequence;
  return { sequence: best, lowerBound: best.cost };
}
