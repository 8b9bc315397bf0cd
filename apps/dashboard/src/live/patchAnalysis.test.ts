import { describe, expect, it } from 'vitest';
import type { AnalysisSummary, AnalysisView, DashboardView, SetView } from '../contracts.js';
import { patchDashboard, patchSets } from './patchAnalysis.js';

const summary = (state: AnalysisSummary['state'], progress: number, id = 'a1') =>
  ({ id, setId: 's1', state, progress }) as AnalysisSummary;
const view = (running: AnalysisSummary[]) => ({ running }) as DashboardView;

describe('progress on the dashboard', () => {
  it('adds, moves on and removes', () => {
    const queued = patchDashboard(view([]), summary('queued', 0));
    expect(queued.running).toHaveLength(1);
    const half = patchDashboard(queued, summary('analysing', 0.5));
    expect(half.running[0]).toMatchObject({ state: 'analysing', progress: 0.5 });
    expect(patchDashboard(half, summary('done', 1)).running).toEqual([]);
  });
  it('never turns back', () => {
    const half = view([summary('analysing', 0.5)]);
    expect(patchDashboard(half, summary('reading', 0.9))).toBe(half);
    expect(patchDashboard(half, summary('analysing', 0.2))).toBe(half);
  });
});

describe('progress on a unit', () => {
  const sets = [
    { id: 's1', analyses: [{ ...summary('reading', 0.1), settings: {} } as AnalysisView] } as SetView,
  ];
  it('keeps what only the full answer has', () => {
    expect(patchSets(sets, summary('drawing', 0.8))?.[0]?.analyses[0]).toMatchObject({
      state: 'drawing',
      settings: {},
    });
  });
  it('asks anew about an analysis it has never seen', () => {
    expect(patchSets(sets, summary('queued', 0, 'a2'))).toBeNull();
  });
});
