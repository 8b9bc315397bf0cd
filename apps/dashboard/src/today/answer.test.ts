import { describe, expect, it } from 'vitest';
import type { DashboardView, LoanSummary, Need, Urgency } from '../contracts.js';
import { headline, inOrder } from './answer.js';

const loan = (title: string, urgency: Urgency, stage = 'measuring') =>
  ({ title, stage, plan: { urgency } }) as LoanSummary;
const view = (...loans: LoanSummary[]) => ({ loans }) as DashboardView;

describe('the first sentence', () => {
  it.each([
    [view(), 'Nothing is on loan.'],
    [view(loan('Alder', 'late', 'closed')), 'Nothing is on loan.'],
    [view(loan('Alder', 'on-track')), 'Everything goes back on time.'],
    [view(loan('Alder', 'at-risk'), loan('Birch', 'on-track')), 'Nothing is late; 1 loan is at risk.'],
    [view(loan('Alder', 'late'), loan('Birch', 'at-risk')), 'Alder will go back late; 1 more at risk.'],
    [view(loan('Alder', 'late'), loan('Birch', 'late')), '2 loans will go back late.'],
  ])('%#', (dashboard, words) => expect(headline(dashboard)).toBe(words));
});

describe('what is next', () => {
  const need = (id: string, urgency: Urgency, by: string | null) => ({ id, urgency, by, title: id }) as Need;
  it('comes by urgency, then by day; undated last', () => {
    const needs = [
      need('a', 'on-track', null),
      need('b', 'on-track', '2026-03-09'),
      need('c', 'late', '2026-03-20'),
    ];
    expect(inOrder(needs).map((each) => each.id)).toEqual(['c', 'b', 'a']);
  });
});
