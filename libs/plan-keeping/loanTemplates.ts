/**
 * A loan whose work has begun gets templates of its own: what is done of a step is taken off it, and a session that
 * is under way holds its place, its unit and what comes after it until it ends. So the engine plans the rest alone.
 */
import type { Booking, LoanInput, StepTemplate, UnitInput, WorkTemplates } from '../planning/planLoans.js';
import type { BookingRow } from './bookingRows.js';
import { placeOf } from './bookingRows.js';
import type { StepStanding } from './stepStanding.js';
import { templateOf } from './workTemplates.js';

export const SLOT_MS = 15 * 60_000;
/** Steps that only hold a place in the engine's plan; they are no bookings of the house. */
const UNDER_WAY = 'now.';
const NIGHT = 'night.';
export const isHold = (kind: string): boolean => kind.startsWith(UNDER_WAY) || kind.startsWith(NIGHT);

export interface BegunLoan {
  readonly loan: LoanInput;
  readonly templates: WorkTemplates;
  /** Pinned at now, for the holds. */
  readonly holds: readonly Booking[];
}

export interface BegunContext {
  /** A whole slot. */
  readonly planNow: Date;
  readonly templates: WorkTemplates;
  /** The end of the house's day. */
  readonly midnight: Date;
  standing(stepId: string): StepStanding | undefined;
}

/** @returns the loan with templates of its own; undefined while no session of it has begun */
export function begunLoan(loan: LoanInput, context: BegunContext): BegunLoan | undefined {
  const kindOf = (unit: UnitInput) => `unit ${unit.id}`;
  const holds: Booking[] = [];
  const own = loan.units.map((unit) => {
    const steps = templateOf(context.templates, unit.kind).flatMap((step) => {
      const stepId = step.per === 'unit' ? `${step.kind}:${unit.id}` : step.kind;
      const standing = context.standing(stepId);
      return standing && standing.stays.length > 0
        ? begunStep(loan, unit, step, standing, context, holds)
        : [step];
    });
    return [kindOf(unit), steps] as const;
  });
  if (
    holds.length === 0 &&
    own.every(([, steps], at) => sameSteps(steps, templateOf(context.templates, loan.units[at]?.kind ?? '')))
  ) {
    return undefined;
  }
  return {
    loan: { ...loan, units: loan.units.map((unit) => ({ ...unit, kind: kindOf(unit) })) },
    templates: Object.fromEntries(own),
    holds,
  };
}

const sameSteps = (a: readonly StepTemplate[], b: readonly StepTemplate[]): boolean =>
  a.length === b.length && a.every((step, at) => step === b[at]);

function begunStep(
  loan: LoanInput,
  unit: UnitInput,
  step: StepTemplate,
  standing: StepStanding,
  context: BegunContext,
  holds: Booking[],
): StepTemplate[] {
  const total = totalMinutes(loan, step, context.templates);
  const held = holdsFor(step, standing, context);
  for (const hold of held) addHold(loan, unit, hold, context, holds);
  const left = Math.max(1, (step.sessions ?? 1) - standing.stays.length);
  return [
    ...held.map(({ template }) => template),
    {
      ...step,
      minutes: remaining(total, step, standing),
      ...(step.per === 'loan' ? { combine: 'most' as const } : {}),
      ...(step.sessions === undefined ? {} : { sessions: left }),
      after: [...step.after, ...held.map(({ template }) => template.kind)],
    },
  ];
}

/** Working minutes still to plan. All sessions took place and the step is not done: it wants another one. */
function remaining(total: number, step: StepTemplate, standing: StepStanding): number {
  const rest = total - standing.workedMinutes;
  if (standing.underWay.length > 0 && standing.movable.length === 0) return Math.max(0, rest);
  return rest > 0 ? rest : Math.min(total, step.sessionMinutes ?? total);
}

function totalMinutes(loan: LoanInput, step: StepTemplate, templates: WorkTemplates): number {
  if (step.per === 'unit') return step.minutes;
  const each = loan.units.flatMap(
    ({ kind }) => templateOf(templates, kind).find((other) => other.kind === step.kind)?.minutes ?? [],
  );
  return step.combine === 'sum' ? each.reduce((sum, minutes) => sum + minutes, 0) : Math.max(...each);
}

interface Hold {
  readonly template: StepTemplate;
  readonly place: string | null;
}

function holdsFor(step: StepTemplate, standing: StepStanding, context: BegunContext): Hold[] {
  const running = standing.underWay.flatMap((row) => underWayHold(step, row, context) ?? []);
  const last = standing.stays.at(-1);
  const sameDay = last !== undefined && context.midnight.getTime() - last.finish.getTime() < 24 * 3600_000;
  if (!step.separateDays || !sameDay) return running;
  const minutes = (context.midnight.getTime() - context.planNow.getTime()) / 60_000;
  if (minutes <= 0) return running;
  const night: StepTemplate = { ...bare(step), kind: `${NIGHT}${step.kind}`, minutes, needsUnit: false };
  return [...running, { template: night, place: null }];
}

function underWayHold(step: StepTemplate, row: BookingRow, { planNow }: BegunContext): Hold | undefined {
  const minutes = Math.ceil((row.finish.getTime() - planNow.getTime()) / SLOT_MS) * 15;
  if (minutes <= 0) return undefined;
  const place = placeOf(row);
  const template = {
    ...bare(step),
    kind: `${UNDER_WAY}${row.session}.${step.kind}`,
    label: `${step.label} (under way)`,
    minutes,
    ...(place === null ? {} : { place }),
  };
  return { template, place };
}

/** A stretch that nobody is needed for and that knows no hours. */
const bare = (step: StepTemplate): StepTemplate => ({
  kind: step.kind,
  label: step.label,
  minutes: step.minutes,
  per: step.per,
  combine: 'most',
  after: [],
  people: 0,
  unattended: true,
  needsUnit: step.needsUnit,
});

function addHold(
  loan: LoanInput,
  unit: UnitInput,
  hold: Hold,
  { planNow }: BegunContext,
  holds: Booking[],
): void {
  const { kind, per, minutes } = hold.template;
  const stepId = per === 'unit' ? `${kind}:${unit.id}` : kind;
  const id = `${loan.id}/${stepId}/1`;
  if (holds.some((known) => known.id === id)) return;
  holds.push({
    id,
    loanId: loan.id,
    stepId,
    session: 1,
    start: planNow.toISOString(),
    finish: new Date(planNow.getTime() + minutes * 60_000).toISOString(),
    resourceIds: hold.place === null ? [] : [hold.place],
    pinned: true,
  });
}
