/** Puts one analysis's newest state into answers already on the page, so that progress needs no new question. */
import type {
  AnalysisSummary,
  AnalysisView,
  ComputationState,
  DashboardView,
  SetView,
} from '../contracts.js';

const order: Readonly<Record<ComputationState, number>> = {
  queued: 0,
  reading: 1,
  analysing: 2,
  drawing: 3,
  done: 4,
  refused: 4,
  quarantined: 4,
};
export const isFinished = (state: ComputationState): boolean => order[state] === 4;

/** True when `next` is later than `known`: a late-coming older state never turns the bar back. */
function isLater(known: AnalysisSummary, next: AnalysisSummary): boolean {
  if (order[next.state] !== order[known.state]) return order[next.state] > order[known.state];
  return next.progress >= known.progress;
}

export function patchDashboard(view: DashboardView, next: AnalysisSummary): DashboardView {
  const known = view.running.find((one) => one.id === next.id);
  if (isFinished(next.state)) {
    return known ? { ...view, running: view.running.filter((one) => one.id !== next.id) } : view;
  }
  if (!known) return { ...view, running: [...view.running, next] };
  if (!isLater(known, next)) return view;
  return { ...view, running: view.running.map((one) => (one.id === next.id ? next : one)) };
}

/** Null when the sets do not hold the analysis: somebody else started it, so the question must be asked anew. */
export function patchSets(sets: readonly SetView[], next: AnalysisSummary): SetView[] | null {
  let found = false;
  const patched = sets.map((set) => {
    if (set.id !== next.setId) return set;
    const analyses = set.analyses.map((known): AnalysisView => {
      if (known.id !== next.id) return known;
      found = true;
      return isLater(known, next) ? { ...known, ...next } : known;
    });
    return { ...set, analyses };
  });
  return found ? patched : null;
}
