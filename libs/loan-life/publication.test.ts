import { describe, expect, it } from 'vitest';
import type { LoanFacts } from './facts.js';
import { onlyTheEmbargo, publicationConditions, standingInTheWay } from './publication.js';

const EMBARGO = '2026-04-01T00:00:00Z';
const facts = {
  stage: 'drafting',
  now: new Date('2026-03-01T00:00:00Z'),
  embargoUntil: EMBARGO,
  cons: [],
  makerRound: 'not-agreed',
  verdictVersion: 2,
  draftVersion: 1,
  signOffs: [{ verdictVersion: 2, draftVersion: 1, decision: 'approve', by: 'b' }],
} as unknown as LoanFacts;
const none = { codes: [], embargoUntil: null };
const codes = (of: readonly { code: string }[]) => of.map(({ code }) => code);

describe('what stands in the way of publishing', () => {
  it('is the embargo until it has passed', () => {
    const open = standingInTheWay(facts, none);
    expect(codes(open)).toEqual(['embargo-over']);
    expect(onlyTheEmbargo(open)).toBe(true);
    expect(standingInTheWay({ ...facts, now: new Date(EMBARGO) }, none)).toEqual([]);
  });
  it('is not an embargo that the owner overrode, but is one that was moved since', () => {
    const override = { codes: ['embargo-over'], embargoUntil: '2026-04-01T02:00:00+02:00' };
    expect(standingInTheWay(facts, override)).toEqual([]);
    expect(codes(standingInTheWay({ ...facts, embargoUntil: '2026-05-01T00:00:00Z' }, override))).toEqual([
      'embargo-over',
    ]);
  });
  it('is a sign-off that an edit made void', () => {
    const edited = { ...facts, verdictVersion: 3, embargoUntil: null };
    expect(codes(standingInTheWay(edited, none))).toEqual(['signed-off']);
    expect(onlyTheEmbargo(standingInTheWay(edited, none))).toBe(false);
  });
  it('is, for everybody, that there is no review yet', () => {
    const early = { ...facts, stage: 'measuring' as const, embargoUntil: null };
    expect(codes(standingInTheWay(early, { codes: ['review-written'], embargoUntil: null }))).toEqual([
      'review-written',
    ]);
    expect(publicationConditions(early).filter(({ met }) => !met)).toHaveLength(1);
  });
});
