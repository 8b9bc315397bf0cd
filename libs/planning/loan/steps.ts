import { defaultTemplates, onePersonLiftKg } from './templates.js';
import type { LoanInput, StepProgress, StepTemplate, UnitInput, WorkTemplates } from './types.js';

/** A step of one loan, with the unit it belongs to and what is known about it. */
export interface LoanStep {
  /** `kind` or `kind:UNIT`. */
  readonly stepId: string;
  readonly template: StepTemplate;
  readonly unitId: string | null;
  readonly label: string;
  /** Working minutes still to do. */
  readonly minutes: number;
  readonly people: number;
  readonly progress: StepProgress | null;
  /** Ids of the steps that must be over before. */
  readonly after: readonly string[];
}

/** The steps a loan goes through, in template order; done ones included. */
export function stepsOf(loan: LoanInput, templates: WorkTemplates = defaultTemplates, nowMs = 0): LoanStep[] {
  const perUnit = loan.units.map((unit) => ({ unit, template: templateFor(templates, unit.kind) }));
  const kinds: string[] = [];
  for (const { template } of perUnit) {
    for (const step of template) if (!kinds.includes(step.kind)) kinds.push(step.kind);
  }
  const drafts = kinds.flatMap((kind) => {
    const members = perUnit.flatMap(({ unit, template }) => {
      const step = template.find((candidate) => candidate.kind === kind);
      return step ? [{ unit, step }] : [];
    });
    const first = members[0];
    if (!first) return [];
    if (first.step.per === 'loan') return [loanStep(loan, members, nowMs)];
    return members.map(({ unit, step }) => unitStep(loan, unit, step, nowMs));
  });
  return drafts.map((draft) => ({ ...draft, after: predecessorsOf(loan, draft, drafts) }));
}

export function templateFor(templates: WorkTemplates, kind: string): readonly StepTemplate[] {
  return templates[kind] ?? templates.other ?? defaultTemplates[kind] ?? defaultTemplates.other ?? [];
}

interface Member {
  readonly unit: UnitInput;
  readonly step: StepTemplate;
}

function loanStep(loan: LoanInput, members: readonly Member[], nowMs: number): LoanStep {
  const minutes = members.map(({ step }) => step.minutes);
  const longest = members.reduce((a, b) => (b.step.minutes > a.step.minutes ? b : a));
  const total =
    longest.step.combine === 'sum' ? minutes.reduce((sum, value) => sum + value, 0) : longest.step.minutes;
  return finishStep(loan, { ...longest.step, minutes: total }, null, loan.units, nowMs);
}

function unitStep(loan: LoanInput, unit: UnitInput, step: StepTemplate, nowMs: number): LoanStep {
  return finishStep(loan, step, unit, [unit], nowMs);
}

function finishStep(
  loan: LoanInput,
  template: StepTemplate,
  unit: UnitInput | null,
  lifted: readonly UnitInput[],
  nowMs: number,
): LoanStep {
  const progress =
    loan.progress?.find(
      (entry) => entry.kind === template.kind && (entry.unitId ?? null) === (unit?.id ?? null),
    ) ?? null;
  const heavy = lifted.some(({ massKg }) => (massKg ?? 0) > onePersonLiftKg);
  const lifts = template.kind === 'unpack' || template.kind === 'pack';
  return {
    stepId: unit ? `${template.kind}:${unit.id}` : template.kind,
    template,
    unitId: unit?.id ?? null,
    label: unit && loan.units.length > 1 ? `${template.label}, ${unit.name}` : template.label,
    minutes: remainingMinutes(template, progress, nowMs),
    people: heavy && lifts ? Math.max(template.people, 2) : template.people,
    progress,
    after: [],
  };
}

function remainingMinutes(template: StepTemplate, progress: StepProgress | null, nowMs: number): number {
  if (progress?.state === 'done' || progress?.state === 'skipped') return 0;
  if (progress?.remainingMinutes !== undefined) return progress.remainingMinutes;
  if (progress?.state === 'running' && progress.startedAt !== undefined && template.unattended) {
    const elapsed = (nowMs - Date.parse(progress.startedAt)) / 60_000;
    return Math.max(0, template.minutes - Math.max(0, elapsed));
  }
  return template.minutes;
}

function predecessorsOf(loan: LoanInput, step: LoanStep, all: readonly LoanStep[]): string[] {
  const kinds = new Set<string>(step.template.after);
  if (step.template.kind === 'pack') {
    for (const { template } of all)
      if (template.needsUnit && template.kind !== 'pack') kinds.add(template.kind);
    if (loan.keepUntilPublished) kinds.add('publish');
  }
  return all
    .filter(
      (other) =>
        kinds.has(other.template.kind) &&
        other.stepId !== step.stepId &&
        (step.unitId === null || other.unitId === null || other.unitId === step.unitId),
    )
    .map(({ stepId }) => stepId);
}
