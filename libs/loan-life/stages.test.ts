import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stages } from '../contracts/index.js';
import type { LoanFacts } from './facts.js';
import { movesFrom, reachable, ruleOnMove } from './stages.js';

const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
const unit = fc.record({
  id: fc.constantFrom('u1', 'u2'),
  name: fc.constantFrom('Lark 2', 'Heron'),
  kind: fc.constant('standmount' as const),
  plan: fc.array(
    fc.record({
      code: fc.constantFrom('impedance', 'multitone'),
      title: fc.constantFrom('Impedance', 'Multitone'),
      state: fc.constantFrom('missing', 'in-work', 'faulty', 'complete', 'waived'),
      stillMissing: fc.constant('not measured'),
    }),
    { maxLength: 2 },
  ),
  blockingFindings: fc.nat({ max: 2 }),
  sealedSessions: fc.nat({ max: 2 }),
});
const facts: fc.Arbitrary<LoanFacts> = fc.record({
  stage: fc.constantFrom(...stages),
  now: fc.constant(new Date('2026-03-01T12:00:00Z')),
  arrivalFrom: maybe(fc.constant('2026-02-01')),
  arrivalTo: maybe(fc.constant('2026-02-04')),
  arrivedOn: maybe(fc.constant('2026-02-03')),
  returnBy: maybe(fc.constant('2026-03-20')),
  loanDays: maybe(fc.constant(30)),
  embargoUntil: maybe(fc.constantFrom('2026-02-01T00:00:00Z', '2026-04-01T00:00:00Z')),
  freightPayer: maybe(fc.constant('maker')),
  insuredValueMinor: maybe(fc.constant(100_000)),
  makerCommentAgreed: fc.boolean(),
  makerRound: fc.constantFrom('not-agreed', 'not-begun', 'open', 'over'),
  keepUntilPublished: fc.boolean(),
  carrier: maybe(fc.constant('Slow Freight')),
  publishedUrl: maybe(fc.constant('https://reviews.example/one')),
  returnCarrier: maybe(fc.constant('Slow Freight')),
  returnTracking: maybe(fc.constant('T1')),
  deliveredOn: maybe(fc.constant('2026-03-19')),
  deliveryConfirmedBy: maybe(fc.constant('Ola')),
  deliveryProven: fc.boolean(),
  outcome: maybe(fc.constantFrom('returned', 'bought', 'written-off')),
  units: fc.array(unit, { maxLength: 2 }),
  accessories: fc.array(
    fc.record({
      name: fc.constantFrom('grilles', 'feet'),
      expectedCount: fc.constant(2),
      arrivedCount: maybe(fc.nat({ max: 2 })),
      returnedCount: maybe(fc.nat({ max: 2 })),
      lossSettled: fc.boolean(),
    }),
    { maxLength: 2 },
  ),
  reports: fc.array(
    fc.record({
      moment: fc.constantFrom('arrival', 'return'),
      unitId: maybe(fc.constantFrom('u1', 'u2')),
      damage: fc.constantFrom('', 'dent'),
      makerTold: fc.boolean(),
      signed: fc.boolean(),
    }),
    { maxLength: 3 },
  ),
  cons: fc.array(
    fc.record({ text: fc.constant('bright'), evidence: fc.constantFrom('', 'peak at 3.2 kHz') }),
    {
      maxLength: 2,
    },
  ),
  verdictVersion: fc.nat({ max: 2 }),
  draftVersion: fc.nat({ max: 2 }),
  signOffs: fc.array(
    fc.record({
      verdictVersion: fc.nat({ max: 2 }),
      draftVersion: fc.nat({ max: 2 }),
      decision: fc.constantFrom('approve', 'request-changes'),
      by: fc.constantFrom('b', 'c'),
    }),
    { maxLength: 3 },
  ),
});

/** Each property says what must hold of a ruling; fast-check looks for a loan it does not hold for. */
describe('the stage machine', () => {
  it('allows a move exactly when all its conditions are met, and names the unmet ones otherwise', () => {
    fc.assert(
      fc.property(facts, fc.constantFrom(...stages), (loan, to) => {
        const ruling = ruleOnMove(loan, to, false);
        const isWay = movesFrom(loan, false).some((offer) => offer.to === to);
        if (ruling.ruling === 'allowed') return ruling.offer.conditions.every(({ met }) => met);
        if (ruling.ruling === 'refused' && ruling.why === 'unmet') {
          return isWay && ruling.offer?.conditions.some(({ met }) => !met);
        }
        return !isWay;
      }),
      { numRuns: 1000 },
    );
  });

  it('overrides only for who may, only with a reason, and never invents a way', () => {
    fc.assert(
      fc.property(facts, fc.constantFrom(...stages), fc.boolean(), (loan, to, may) => {
        const ruling = ruleOnMove(loan, to, may, 'The maker asked for it on the phone.');
        const isWay = movesFrom(loan, may).some((offer) => offer.to === to);
        if (!isWay) return ruling.ruling === 'refused' && ruling.why === 'no-such-way';
        if (ruling.ruling !== 'overridden') return true;
        return may && ruling.reason !== '' && ruling.offer.conditions.some(({ met }) => !met);
      }),
      { numRuns: 1000 },
    );
  });

  it('never lets a unit into the returning crate by itself with a hole in its data or without a sealed session', () => {
    fc.assert(
      fc.property(facts, (loan) => {
        const hole = loan.units.some(
          (one) =>
            one.blockingFindings > 0 ||
            one.sealedSessions === 0 ||
            one.plan.some(({ state }) => state !== 'complete' && state !== 'waived'),
        );
        return !hole || ruleOnMove(loan, 'returning', true).ruling === 'refused';
      }),
      { numRuns: 1000 },
    );
  });

  it('never lets a crate go, or closes a loan, with an accessory that nobody can account for, and names it', () => {
    const open = (loan: LoanFacts) =>
      loan.accessories.filter(
        ({ arrivedCount, expectedCount, returnedCount, lossSettled }) =>
          !lossSettled && (returnedCount ?? -1) < (arrivedCount ?? expectedCount),
      );
    const kept = (loan: LoanFacts) => loan.outcome === 'bought' || loan.outcome === 'written-off';
    fc.assert(
      fc.property(facts, fc.constantFrom('returning' as const, 'closed' as const), (loan, to) => {
        const missing = open(loan);
        const ruling = ruleOnMove(loan, to, true);
        if (missing.length === 0 || kept(loan)) return true;
        if (ruling.ruling !== 'refused') return false;
        const words = ruling.offer?.conditions.find(({ code }) => code === 'everything-packed')?.sentence;
        return ruling.why === 'no-such-way' || missing.every(({ name }) => words?.includes(name) === true);
      }),
      { numRuns: 1000 },
    );
  });

  it('closes only with proof of the delivery, unless nothing goes back', () => {
    fc.assert(
      fc.property(facts, (loan) => {
        const returns = loan.outcome !== 'bought' && loan.outcome !== 'written-off';
        return (
          !returns ||
          loan.deliveryProven ||
          ruleOnMove({ ...loan, stage: 'returning' }, 'closed', true).ruling === 'refused'
        );
      }),
      { numRuns: 500 },
    );
  });

  it('never publishes by itself before the embargo', () => {
    fc.assert(
      fc.property(facts, (loan) => {
        const early = loan.embargoUntil !== null && new Date(loan.embargoUntil) > loan.now;
        return !early || ruleOnMove(loan, 'published', true).ruling === 'refused';
      }),
      { numRuns: 500 },
    );
  });

  it('never publishes by itself on a sign-off of another text, nor before the maker has had their say', () => {
    fc.assert(
      fc.property(facts, (loan) => {
        const drafting = { ...loan, stage: 'drafting' } as const;
        const { signOffs, verdictVersion, draftVersion } = drafting;
        const approved = signOffs.some(
          (one) =>
            one.decision === 'approve' &&
            one.verdictVersion === verdictVersion &&
            one.draftVersion === draftVersion,
        );
        const heard = drafting.makerRound === 'not-agreed' || drafting.makerRound === 'over';
        return (approved && heard) || ruleOnMove(drafting, 'published', false).ruling === 'refused';
      }),
      { numRuns: 1000 },
    );
  });

  it('reaches every stage from the request, and the end from everywhere', () => {
    expect([...reachable('requested')].sort()).toEqual([...stages].sort());
    for (const stage of stages) expect(reachable(stage).has('closed')).toBe(true);
  });

  it('takes a unit back from returning to measuring when a hole is found', () => {
    const [loan] = fc.sample(facts, { numRuns: 1, seed: 1 });
    if (!loan) throw new Error('No loan was made.');
    expect(ruleOnMove({ ...loan, stage: 'returning' }, 'measuring', false).ruling).toBe('allowed');
  });
});
