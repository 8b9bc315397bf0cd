import { describe, expect, it } from 'vitest';
import type { AnalysisSummary, FeedEvent } from '../contracts.js';
import { effectsOf, gather, type Saying } from './effects.js';

const analysis: AnalysisSummary = {
  id: 'a1',
  setId: 's1',
  setName: 'Second run',
  unitId: 'u1',
  unitName: 'Alder 2',
  loanId: 'l1',
  state: 'done',
  progress: 1,
  reason: null,
  createdAt: '2026-03-04T12:00:00Z',
  finishedAt: '2026-03-04T12:00:02Z',
  blocking: 0,
  checks: 0,
};
const of = (rest: Pick<FeedEvent, 'type' | 'payload'>) =>
  effectsOf({ number: 1, at: '2026-03-04T12:00:00Z', room: 'team', ...rest } as FeedEvent);

describe('what an event means', () => {
  it('progress is shown at once and makes nothing stale', () => {
    const effects = of({
      type: 'analysis-progress',
      payload: { ...analysis, state: 'analysing', progress: 0.4 },
    });
    expect(effects).toEqual({ stale: [], analysis: { ...analysis, state: 'analysing', progress: 0.4 } });
  });

  it('a finished analysis refreshes its unit and loan and says how the data is', () => {
    const effects = of({ type: 'analysis-finished', payload: { ...analysis, blocking: 2, checks: 1 } });
    expect(effects.stale).toContainEqual(['sets', 'u1']);
    expect(effects.stale).toContainEqual(['loan', 'l1']);
    expect(effects.stale).toContainEqual(['dashboard']);
    expect(effects.saying).toMatchObject({
      tone: 'risk',
      text: 'Second run: 2 blocking findings and 1 to check.',
      to: '/units/u1/results',
    });
  });

  it('a refused set leads to its files, not to results that do not exist', () => {
    const effects = of({ type: 'analysis-finished', payload: { ...analysis, state: 'refused' } });
    expect(effects.saying).toMatchObject({ tone: 'late', to: '/units/u1' });
  });

  it('names what is missing, and stops listing when it gets long', () => {
    const payload = { loanId: 'l1', unitId: 'u1', unitName: 'Alder 2', missing: ['h 40'], faulty: ['v 10'] };
    expect(of({ type: 'data-missing', payload }).saying?.text).toBe('Missing: h 40; faulty: v 10.');
    const many = { ...payload, missing: ['1', '2', '3', '4', '5'], faulty: [] };
    expect(of({ type: 'data-missing', payload: many }).saying?.text).toBe('Missing: 1, 2, 3 and 2 more.');
  });

  it('a finished campaign makes every unit’s results stale, a running one none', () => {
    const campaign = {
      id: 'c1',
      algorithmVersion: '2',
      state: 'running' as const,
      total: 9,
      done: 4,
      current: 1,
      failed: 1,
      startedBy: '',
      createdAt: '',
      finishedAt: null,
    };
    expect(of({ type: 'campaign-progress', payload: campaign })).toEqual({ stale: [['campaigns']] });
    const done = of({ type: 'campaign-progress', payload: { ...campaign, state: 'done' } });
    expect(done.stale).toContainEqual(['sets']);
    expect(done.saying).toMatchObject({
      tone: 'risk',
      text: '5 sets up to date; 1 kept their earlier results.',
    });
  });

  it('a type it does not know (a newer server) does no harm', () => {
    expect(of({ type: 'moon-phase', payload: {} } as never)).toEqual({ stale: [] });
  });
});

describe('after a long absence', () => {
  const saying = (tone: Saying['tone']): Saying => ({ tone, title: '', text: '', to: '/loans/1' });
  it('says few things singly and many together', () => {
    expect(gather([saying('plain'), saying('good')])).toHaveLength(2);
    expect(gather(Array.from({ length: 9 }, () => saying('plain')))).toEqual([
      expect.objectContaining({ title: '9 things happened while you were away', to: '/history' }),
    ]);
    expect(gather([saying('plain'), saying('plain'), saying('plain'), saying('late')])[0]).toMatchObject({
      tone: 'late',
      to: '/',
    });
  });
});
