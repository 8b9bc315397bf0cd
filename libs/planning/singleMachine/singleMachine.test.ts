import { describe, expect, it } from 'vitest';
import { Random } from '../engine/random.js';
import { Effort } from '../search/effort.js';
import { apparentTardinessOrder, Dynasearch, sequenceCost, type Jobs } from './dynasearch.js';
import { knownOrders } from './precedence.js';
import { prove } from './proof.js';
import { solveJobs } from './solveJobs.js';

function jobsOf(list: readonly (readonly [duration: number, due: number, weight: number])[]): Jobs {
  return {
    duration: Float64Array.from(list, ([duration]) => duration),
    due: Float64Array.from(list, ([, due]) => due),
    weight: Float64Array.from(list, ([, , weight]) => weight),
  };
}

function randomJobs(random: Random, count: number, longest: number): Jobs {
  const duration = Float64Array.from({ length: count }, () => 1 + random.below(longest));
  const total = duration.reduce((sum, length) => sum + length, 0);
  return {
    duration,
    due: Float64Array.from({ length: count }, () =>
      random.next() < 0.1 ? Infinity : random.below(total + 2),
    ),
    weight: Float64Array.from({ length: count }, () => random.below(6) + (random.next() < 0.1 ? 0.25 : 0)),
  };
}

/** Every sequence, by plain recursion. */
function sequences(count: number): Int32Array[] {
  if (count === 0) return [new Int32Array(0)];
  return sequences(count - 1).flatMap((rest) =>
    Array.from({ length: count }, (_, at) =>
      Int32Array.from([...rest.slice(0, at), count - 1, ...rest.slice(at)]),
    ),
  );
}

const all = [2, 3, 4, 5, 6].map((count) => sequences(count));

function leastCost(jobs: Jobs): number {
  return Math.min(...all[jobs.duration.length - 2].map((order) => sequenceCost(jobs, order)));
}

describe('one machine', () => {
  it('adds up lateness by weight (worked by hand)', () => {
    const jobs = jobsOf([
      [3, 2, 2],
      [2, 9, 5],
      [4, 6, 1],
    ]);
    // Ends at 3, 5, 9: one late by 2 x 1, the last by 1 x 3.
    expect(sequenceCost(jobs, Int32Array.from([0, 1, 2]))).toBe(5);
  });

  it('proves the least cost over all sequences, from any sequence, for whole and broken weights', () => {
    const random = new Random(3);
    for (let run = 0; run < 400; run += 1) {
      const jobs = randomJobs(random, 2 + random.below(5), run % 2 === 0 ? 5 : 30);
      const order = apparentTardinessOrder(jobs, 0.1 + 4 * random.next()).reverse();
      const { sequence, lowerBound } = prove(jobs, { order, cost: sequenceCost(jobs, order) }, 1e7);
      expect(sequence.cost).toBeCloseTo(leastCost(jobs), 6);
      expect(lowerBound).toBeCloseTo(sequence.cost, 5);
      expect(sequenceCost(jobs, sequence.order)).toBeCloseTo(sequence.cost, 9);
    }
  });

  it('never claims too much when the work runs out', () => {
    const random = new Random(4);
    for (let run = 0; run < 150; run += 1) {
      const jobs = randomJobs(random, 6, 20);
      const order = apparentTardinessOrder(jobs, 1);
      const { lowerBound } = prove(
        jobs,
        { order, cost: sequenceCost(jobs, order) },
        200 + random.below(3000),
      );
      expect(lowerBound).toBeLessThanOrEqual(leastCost(jobs) + 1e-6);
    }
  });

  it('keeps, in some best sequence, every order it says it knows', () => {
    const random = new Random(5);
    for (let run = 0; run < 200; run += 1) {
      const jobs = randomJobs(random, 5, 8);
      const { isBefore } = knownOrders(jobs);
      const least = leastCost(jobs);
      const kept = all[3].some(
        (order) =>
          sequenceCost(jobs, order) <= least + 1e-9 &&
          order.every((late, position) =>
            order.slice(position + 1).every((early) => !isBefore[early * 5 + late]),
          ),
      );
      expect(kept, `run ${run}`).toBe(true);
    }
  });

  it('never makes a sequence worse, and never looks at more than it may', () => {
    const random = new Random(6);
    for (let run = 0; run < 100; run += 1) {
      const jobs = randomJobs(random, 30, 40);
      const effort = new Effort(1 + random.below(200));
      const order = apparentTardinessOrder(jobs, 1);
      const { cost, order: made } = new Dynasearch(jobs, effort).descend(order);
      expect(cost).toBeLessThanOrEqual(sequenceCost(jobs, order));
      expect(effort.tried).toBeLessThanOrEqual(effort.limit);
      expect(new Set(made).size).toBe(30);
    }
  });

  it('proves thirty jobs', () => {
    const jobs = randomJobs(new Random(8), 30, 20);
    const { sequence, lowerBound } = solveJobs(jobs, new Effort(20_000), 0, new Random(1));
    expect(sequence.cost).toBeGreaterThan(0);
    expect(lowerBound).toBeCloseTo(sequence.cost, 6);
  });
});
