/**
 * The life of a loan as a machine: which stage leads to which, and what must be true first.
 *
 * Measuring and listening run in either order. A unit may come back from returning to measuring when a hole is
 * found. A unit may leave before the review is out unless the maker wants it kept until then.
 */
import { stages, type MoveOffer, type Stage } from '../contracts/index.js';
import * as must from './conditions.js';
import type { LoanFacts } from './facts.js';

interface Way {
  readonly to: Stage;
  readonly forward: boolean;
  readonly conditions: readonly must.ConditionTest[];
}

const on = (to: Stage, ...conditions: must.ConditionTest[]): Way => ({ to, forward: true, conditions });
const back = (to: Stage): Way => ({ to, forward: false, conditions: [] });

const unpacked = [must.conditionSigned, must.accessoriesCounted, must.shortfallReported];
const readyToReturn = [
  must.dataComplete,
  must.sessionSealed,
  must.unlessSettled(must.everythingPacked),
  must.mayLeaveBeforePublication,
];

const ways: Readonly<Record<Stage, readonly Way[]>> = {
  requested: [
    on(
      'agreed',
      must.unitsListed,
      must.loanLengthAgreed,
      must.freightAgreed,
      must.insuredValueAgreed,
      must.makerCommentSettled,
    ),
  ],
  agreed: [
    on('arrived', must.arrivalWindowKnown, must.returnDateKnown, must.carrierKnown),
    back('requested'),
  ],
  arrived: [on('measuring', ...unpacked), on('listening', ...unpacked), back('agreed')],
  measuring: [
    on('listening', must.dataComplete),
    on('drafting', must.dataComplete, must.sessionSealed),
    back('arrived'),
  ],
  listening: [
    on('drafting', must.sessionSealed, must.dataComplete),
    on('measuring', must.sessionSealed),
    back('arrived'),
  ],
  drafting: [
    on(
      'published',
      must.consHaveEvidence,
      must.signedOff,
      must.makerRoundOver,
      must.embargoOver,
      must.linkGiven,
    ),
    on('returning', ...readyToReturn),
    back('measuring'),
    back('listening'),
  ],
  published: [on('returning', ...readyToReturn, must.linkGiven)],
  returning: [
    on(
      'closed',
      must.unlessSettled(must.everythingPacked),
      must.unlessSettled(must.returnSigned),
      must.unlessSettled(must.carrierBooked),
      must.deliveredOrSettled,
      must.unlessSettled(must.deliveryProven),
    ),
    back('measuring'),
    back('listening'),
    back('drafting'),
  ],
  closed: [],
};

/**
 * Where a loan may go from here, each with its conditions.
 * @param mayOverride whether the asking person may move it against unmet conditions, with a reason
 */
export function movesFrom(facts: LoanFacts, mayOverride: boolean): MoveOffer[] {
  return ways[facts.stage].map(({ to, forward, conditions }) => {
    const tested = conditions.map((test) => test(facts));
    return { to, forward, conditions: tested, allowed: tested.every(({ met }) => met), mayOverride };
  });
}

export type MoveRuling =
  | { readonly ruling: 'allowed'; readonly offer: MoveOffer }
  | { readonly ruling: 'overridden'; readonly offer: MoveOffer; readonly reason: string }
  | {
      readonly ruling: 'refused';
      readonly why: 'no-such-way' | 'unmet' | 'may-not-override';
      readonly offer?: MoveOffer;
    };

/** The ruling on one asked move. An override needs the right to it and a reason. */
export function ruleOnMove(facts: LoanFacts, to: Stage, mayOverride: boolean, reason?: string): MoveRuling {
  const offer = movesFrom(facts, mayOverride).find((way) => way.to === to);
  if (!offer) return { ruling: 'refused', why: 'no-such-way' };
  if (offer.allowed) return { ruling: 'allowed', offer };
  if (reason === undefined) return { ruling: 'refused', why: 'unmet', offer };
  return mayOverride
    ? { ruling: 'overridden', offer, reason }
    : { ruling: 'refused', why: 'may-not-override', offer };
}

/** Every stage one can get to from a stage, by any way. */
export function reachable(from: Stage): ReadonlySet<Stage> {
  const seen = new Set<Stage>([from]);
  const ahead: Stage[] = [from];
  for (let stage = ahead.pop(); stage; stage = ahead.pop()) {
    for (const { to } of ways[stage]) {
      if (!seen.has(to)) {
        seen.add(to);
        ahead.push(to);
      }
    }
  }
  return seen;
}

export const isOpen = (stage: Stage): boolean => stage !== 'closed';
export const inTheHouse = (stage: Stage): boolean =>
  stages.indexOf(stage) >= stages.indexOf('arrived') && stage !== 'closed';
