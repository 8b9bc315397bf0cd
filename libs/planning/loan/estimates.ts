import type { StepTemplate, WorkTemplates } from './types.js';

/** How long one step really took. */
export interface DoneStep {
  /** Kind of step and kind of unit, as in the templates. */
  readonly kind: string;
  readonly unitKind: string;
  /** Working minutes. */
  readonly minutes: number;
}

/** What the team's own history says about one kind of step. Minutes; quartiles by linear interpolation. */
export interface Estimate {
  readonly kind: string;
  readonly unitKind: string;
  readonly count: number;
  readonly medianMinutes: number;
  /** A quarter took less than this, a quarter more than that: the spread to show beside the median. */
  readonly lowerQuartileMinutes: number;
  readonly upperQuartileMinutes: number;
}

/** One estimate per kind of step and unit, in the order they first occur. Values that are no durations are left out. */
export function learnEstimates(history: readonly DoneStep[]): Estimate[] {
  const groups = new Map<string, { first: DoneStep; minutes: number[] }>();
  for (const step of history) {
    if (!Number.isFinite(step.minutes) || step.minutes <= 0) continue;
    const key = `${step.unitKind}\n${step.kind}`;
    const group = groups.get(key);
    if (group) group.minutes.push(step.minutes);
    else groups.set(key, { first: step, minutes: [step.minutes] });
  }
  return [...groups.values()].map(({ first, minutes }) => {
    const rising = minutes.toSorted((a, b) => a - b);
    return {
      kind: first.kind,
      unitKind: first.unitKind,
      count: rising.length,
      medianMinutes: quantile(rising, 0.5),
      lowerQuartileMinutes: quantile(rising, 0.25),
      upperQuartileMinutes: quantile(rising, 0.75),
    };
  });
}

/** Below this many times a template's own figure is trusted more than the history. */
const enoughTimes = 3;

/** Templates whose durations are the team's medians where it has done a step often enough. */
export function withEstimates(templates: WorkTemplates, estimates: readonly Estimate[]): WorkTemplates {
  const known = new Map(
    estimates.filter(({ count }) => count >= enoughTimes).map((one) => [`${one.unitKind}\n${one.kind}`, one]),
  );
  return Object.fromEntries(
    Object.entries(templates).map(([unitKind, steps]) => [
      unitKind,
      steps.map((step): StepTemplate => {
        const estimate = known.get(`${unitKind}\n${step.kind}`);
        return estimate ? { ...step, minutes: Math.round(estimate.medianMinutes) } : step;
      }),
    ]),
  );
}

function quantile(rising: readonly number[], share: number): number {
  const at = (rising.length - 1) * share;
  const low = Math.floor(at);
  const high = Math.min(low + 1, rising.length - 1);
  return rising[low] + (at - low) * (rising[high] - rising[low]);
}
