/** The plan: bookings, calendars, proposals, templates of work, what steps really took. */
import { z } from 'zod';
import type { PlanStepView, Urgency } from './loans.js';
import { UnitKind } from './names.js';

const text = (most: number) => z.string().trim().max(most);
const day = z.iso.date('Give a date as YYYY-MM-DD.');
const instant = z.iso.datetime({ offset: true, message: 'Give an instant such as 2026-03-02T09:00:00Z.' });
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');
const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$|^24:00$/, 'Give a time of day such as 09:30.');

/** Open from one wall-clock time to another on one weekday. */
export const WeeklyHours = z
  .object({
    weekday: z.number().int().min(1).max(7).describe('1 Monday .. 7 Sunday'),
    from: clock,
    to: clock.describe('24:00 is the end of the day'),
  })
  .refine(({ from, to }) => from < to, { message: 'Hours end after they begin; split a night at 24:00.' });
export type WeeklyHours = z.infer<typeof WeeklyHours>;
const hours = z.array(WeeklyHours).max(70);

export const ChangeHouse = z
  .object({
    hours: hours.nullable().describe('Null: Monday to Friday 09:00-18:00'),
    loudHours: hours.nullable().describe('When loud tests are allowed; null: the working hours'),
    holidays: z.array(z.object({ day, name: text(80) })).max(400),
    atRiskWorkingDays: z.number().int().min(0).max(30),
  })
  .partial()
  .extend({ version });

const placeFields = z.object({
  name: text(80).min(1, 'Give a name.'),
  capacity: z.number().int().min(1).max(20).describe('Pieces of work it takes at once'),
  hours: hours.nullable().describe('When people may use it; null: round the clock'),
});
export const AddPlace = placeFields.extend({
  capacity: placeFields.shape.capacity.default(1),
  hours: placeFields.shape.hours.default(null),
});
export const ChangePlace = placeFields.partial().extend({ version, retired: z.boolean().optional() });

export const ChangePersonHours = z.object({
  version: z.number().int().min(0).describe('0 while the person has no hours of their own yet'),
  hours: hours.nullable().optional().describe('On the person’s own clock; null: those of the house'),
  does: z.array(text(40)).max(60).nullable().optional().describe('Kinds of step; null: all'),
});

const ofOne = {
  personId: z.uuid().optional(),
  placeId: text(60).optional(),
};
const oneOfTwo = (ask: { personId?: string | undefined; placeId?: string | undefined }): boolean =>
  (ask.personId === undefined) !== (ask.placeId === undefined);
const SAY_WHOSE = 'Say either a person or a place.';

export const AddAbsence = z
  .object({ ...ofOne, from: instant, to: instant, why: text(200).default('') })
  .refine(oneOfTwo, SAY_WHOSE)
  .refine(({ from, to }) => Date.parse(from) < Date.parse(to), 'It ends after it begins.');

export const BUSY_FILE_BYTES = 1_000_000;
export const ImportBusy = z
  .object({
    ...ofOne,
    name: text(80).min(1, 'Name the calendar.').describe('The same name again replaces what it brought'),
    calendar: z.string().max(BUSY_FILE_BYTES, 'At most one megabyte.').describe('The text of an .ics file'),
  })
  .refine(oneOfTwo, SAY_WHOSE);

export const StepTemplate = z.object({
  kind: z
    .string()
    .regex(/^[a-z][a-z0-9-]{0,39}$/, 'Use lower-case letters, digits and hyphens.')
    .describe(
      'unpack, run-in, impedance, orbits, distortion, listening, drafting, film, edit, publish, pack, or your own',
    ),
  label: text(80).min(1, 'Give a name.'),
  minutes: z
    .number()
    .int()
    .min(0)
    .max(60 * 24 * 30)
    .describe('Working minutes'),
  per: z.enum(['unit', 'loan']),
  combine: z.enum(['sum', 'most']).optional(),
  after: z.array(text(40)).max(30).describe('Kinds of step that must be over before'),
  people: z.number().int().min(0).max(4),
  place: text(60).optional(),
  loud: z.boolean().optional(),
  unattended: z.boolean().optional(),
  sessionMinutes: z
    .number()
    .int()
    .min(15)
    .max(60 * 24)
    .optional(),
  sessions: z.number().int().min(1).max(20).optional(),
  separateDays: z.boolean().optional(),
  needsUnit: z.boolean().describe('The crate cannot leave before this is done'),
});
export type StepTemplate = z.infer<typeof StepTemplate>;
export const ChangeTemplate = z.object({
  version: z.number().int().min(0).describe('0 while the defaults stand'),
  steps: z.array(StepTemplate).min(1, 'Keep at least one step.').max(40),
});

export const ProposePlan = z.object({
  moves: z
    .array(z.object({ bookingId: z.uuid(), start: instant, personIds: z.array(z.uuid()).max(4).optional() }))
    .max(50)
    .default([])
    .describe('Bookings to put elsewhere and pin there; what they displace is planned anew'),
});
export const AcceptPlan = z.object({
  version: z.number().int().min(0).describe('The version of the plan the proposal was made on'),
});

export const ChangeBooking = z.object({
  version,
  start: instant.optional().describe('Moves it, and pins it there unless `pinned` says otherwise'),
  personIds: z.array(z.uuid()).min(1).max(4).optional(),
  pinned: z.boolean().optional(),
  outcome: z
    .enum(['worked', 'missed'])
    .nullable()
    .optional()
    .describe('Of a session that has begun: it took place, or it did not'),
});

export const MarkStep = z.object({
  version: z.number().int().min(0).describe('0 while nothing has been marked'),
  state: z.enum(['running', 'done', 'skipped', 'open']).describe('open: takes the mark back'),
  startedAt: instant.nullable().optional(),
  finishedAt: instant.nullable().optional(),
  minutes: z.number().min(0).max(100_000).nullable().optional().describe('Working minutes it really took'),
  note: text(500).optional(),
});

const MOST_DAYS = 100;
export const DayRange = z
  .object({ from: day, to: day })
  .refine(({ from, to }) => from <= to, 'The range ends after it begins.')
  .refine(
    ({ from, to }) => Date.parse(to) - Date.parse(from) <= MOST_DAYS * 24 * 3600_000,
    `At most ${MOST_DAYS} days at once.`,
  );
export const WeekRange = z.object({ from: day, weeks: z.coerce.number().int().min(1).max(26).default(4) });

export const WhatIf = z.object({
  title: text(160).default('A new loan'),
  arrival: instant.nullable().default(null).describe('Null: sent today'),
  returnBy: day.nullable().default(null),
  embargoUntil: instant.nullable().default(null),
  freightDays: z.number().int().min(0).max(90).default(3),
  keepUntilPublished: z.boolean().default(false),
  units: z
    .array(
      z.object({
        name: text(160).default('Unit'),
        kind: UnitKind,
        massKg: z.number().positive().max(2000).nullable().default(null),
      }),
    )
    .min(1, 'Say at least one unit.')
    .max(12),
});

// ---- what the server answers ----

export interface HouseView {
  timeZone: string;
  hours: WeeklyHours[] | null;
  loudHours: WeeklyHours[] | null;
  holidays: { day: string; name: string }[];
  atRiskWorkingDays: number;
  version: number;
  people: PersonHoursView[];
  places: PlaceView[];
  absences: AbsenceView[];
  busyCalendars: BusyCalendarView[];
}
export interface PersonHoursView {
  id: string;
  name: string;
  timeZone: string;
  hours: WeeklyHours[] | null;
  does: string[] | null;
  version: number;
}
export interface PlaceView {
  id: string;
  name: string;
  capacity: number;
  hours: WeeklyHours[] | null;
  retired: boolean;
  version: number;
}
export interface AbsenceView {
  id: string;
  personId: string | null;
  placeId: string | null;
  from: string;
  to: string;
  why: string;
  busyCalendarId: string | null;
}
export interface BusyCalendarView {
  id: string;
  personId: string | null;
  placeId: string | null;
  name: string;
  importedAt: string;
  spans: number;
}
/** What an .ics file brought, and what of it was passed over. */
export interface BusyImportView extends BusyCalendarView {
  passedOver: { line: number; why: string }[];
}

/** Who, where and when. */
export interface Spot {
  start: string;
  finish: string;
  people: { id: string; name: string }[];
  place: { id: string; name: string } | null;
}
export interface BookingView extends Spot {
  id: string;
  loanId: string;
  loanTitle: string;
  unitId: string | null;
  unitName: string | null;
  stepId: string;
  kind: string;
  label: string;
  /** 1, 2, ... within the step. */
  session: number;
  pinned: boolean;
  outcome: 'worked' | 'missed' | null;
  state: 'planned' | 'under-way' | 'over' | 'cancelled';
  version: number;
}

/** Someone or somewhere, with the hours that are open and the stretches that are not. */
export interface CalendarRow {
  /** `person:ID` or `place:ID` */
  id: string;
  kind: 'person' | 'place';
  name: string;
  open: { from: string; to: string }[];
  away: { from: string; to: string; why: string }[];
}
export interface BookingsView {
  from: string;
  to: string;
  timeZone: string;
  planVersion: number;
  /** When the house works, and when loud work is allowed. */
  house: { from: string; to: string }[];
  loud: { from: string; to: string }[];
  holidays: { day: string; name: string }[];
  rows: CalendarRow[];
  bookings: BookingView[];
}

export interface PlanChange {
  change: 'added' | 'removed' | 'moved' | 'reassigned';
  /** The booking as it stands; null when it is new. */
  bookingId: string | null;
  loanId: string;
  loanTitle: string;
  label: string;
  session: number;
  before: Spot | null;
  after: Spot | null;
  /** “Both orbits” of Heron 3 moves from Tue 3 Jun 09:00 to Wed 4 Jun 13:00. */
  sentence: string;
}
export interface PlanCause {
  code:
    | 'first-plan'
    | 'loan-added'
    | 'loan-over'
    | 'crate-late'
    | 'crate-early'
    | 'arrived'
    | 'extended'
    | 'shortened'
    | 'terms'
    | 'measure-again'
    | 'step-done'
    | 'step-missed'
    | 'away'
    | 'back'
    | 'hours'
    | 'templates';
  loanId: string | null;
  sentence: string;
}
/** What of the plan could not be honoured. */
export interface PlanProblemView {
  code: string;
  message: string;
  loanId: string | null;
  bookingId: string | null;
}

/** The plan in force and what it should become, seen now. */
export interface PlanView {
  /** Counts every change of the plan in force; 0 until one was accepted. */
  version: number;
  acceptedAt: string | null;
  acceptedBy: string | null;
  timeZone: string;
  /** What should change; empty when the plan in force still holds. */
  changes: PlanChange[];
  causes: PlanCause[];
  problems: PlanProblemView[];
}
export interface ProposalView extends PlanView {
  id: string;
  madeAt: string;
  accepted: boolean;
}

export interface StepView {
  stepId: string;
  kind: string;
  label: string;
  unitId: string | null;
  state: PlanStepView['state'] | 'skipped';
  startedAt: string | null;
  finishedAt: string | null;
  /** Working minutes it really took. */
  minutes: number | null;
  /** Read off what people did, not marked by hand. */
  derived: boolean;
  note: string;
  /** 0 while nothing has been marked. */
  version: number;
  sessions: BookingView[];
}

export interface TemplateView {
  kind: string;
  steps: StepTemplate[];
  /** The defaults of the house, not edited. */
  isDefault: boolean;
  version: number;
}

/** What a kind of step takes on a kind of unit in this team, from its own history. */
export interface EstimateView {
  kind: string;
  label: string;
  unitKind: string;
  templateMinutes: number;
  count: number;
  medianMinutes: number;
  /** A quarter of the times took less, a quarter more than this. */
  lowerQuartileMinutes: number;
  upperQuartileMinutes: number;
  recent: { loanId: string; loanTitle: string; minutes: number; finishedAt: string | null }[];
}

export interface WorkloadView {
  timeZone: string;
  weeks: {
    /** The Monday, YYYY-MM-DD. */
    from: string;
    rows: {
      id: string;
      kind: 'person' | 'place';
      name: string;
      openMinutes: number;
      bookedMinutes: number;
    }[];
  }[];
}

export interface WhatIfView {
  urgency: Urgency;
  sentence: string;
  reviewedAt: string | null;
  publishedAt: string | null;
  readyToSendAt: string | null;
  returnedAt: string | null;
  mustArriveBy: string | null;
  askExtensionTo: string | null;
  steps: PlanStepView[];
  /** What it would do to the bookings of the others. */
  changes: PlanChange[];
  /** Other loans that would become late or at risk by it. */
  worse: { loanId: string; title: string; before: Urgency; after: Urgency }[];
  problems: PlanProblemView[];
}

export interface CalendarFeedView {
  active: boolean;
  createdAt: string | null;
  /** When a calendar last read it. */
  readAt: string | null;
  /** The private address; said once, when it is made. */
  path?: string;
}
