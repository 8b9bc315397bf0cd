/** Makers, loans, units, condition and accessories. */
import { z } from 'zod';
import type { ListeningView } from './listening.js';
import type { DeliveryProofView } from './returning.js';
import { DRAFT_MOST_CHARACTERS, Outline, Point, Suggestion, type OutlineItem } from './drafts.js';
import { Moment, Stage, UnitKind } from './names.js';

const text = (most: number) => z.string().trim().max(most);
const name = text(160).min(1, 'Give a name.');
const day = z.iso.date('Give a date as YYYY-MM-DD.');
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');

export const ContactInput = z.object({
  name,
  email: text(254).default(''),
  phone: text(60).default(''),
  duty: text(120).default('').describe('Press, freight, engineering ...'),
});

// A change is built from fields without defaults: a default would fill in what was not sent, and so wipe it.
const makerFields = z.object({
  name,
  website: text(300),
  notes: text(5000),
  contacts: z.array(ContactInput).max(30),
});
export const AddMaker = makerFields.extend({
  website: makerFields.shape.website.default(''),
  notes: makerFields.shape.notes.default(''),
  contacts: makerFields.shape.contacts.default([]),
});
export const ChangeMaker = makerFields.partial().extend({ version });

const terms = z.object({
  title: name.describe('Working title of the loan'),
  arrivalFrom: day.nullable(),
  arrivalTo: day.nullable(),
  returnBy: day.nullable().describe('The unit must be back with the maker on this day'),
  loanDays: z.number().int().min(1).max(3650).nullable(),
  embargoUntil: z.iso
    .datetime({ offset: true })
    .nullable()
    .describe('Nothing is published before this instant'),
  freightPayer: z.enum(['maker', 'team', 'shared']).nullable(),
  freightDays: z.number().int().min(0).max(90).describe('Working days of freight each way'),
  insuredValueMinor: z.number().int().min(0).max(2_000_000_000).nullable().describe('In cents'),
  currency: z.string().regex(/^[A-Z]{3}$/, 'Use a three-letter currency code such as EUR.'),
  makerMayComment: z.boolean().describe('The maker may comment before publication'),
  makerCommentAgreed: z.boolean().describe('It has been settled whether the maker may comment'),
  keepUntilPublished: z.boolean().describe('The maker wants the unit kept until the review is out'),
  carrier: text(120).nullable(),
  notes: text(10_000),
});
export const AddLoan = terms.partial().extend({ makerId: z.uuid(), title: name });
export const ChangeLoan = terms
  .extend({
    arrivedOn: day.nullable(),
    publishedUrl: z.union([z.url({ protocol: /^https?$/ }), z.literal('')]).nullable(),
    returnCarrier: text(120).nullable(),
    returnTracking: text(120).nullable(),
    deliveredOn: day.nullable(),
    deliveryConfirmedBy: text(160).nullable(),
    deliveryNote: text(1000).describe('What proves the delivery where there is no file of it'),
    outcome: z.enum(['returned', 'bought', 'written-off']).nullable(),
  })
  .partial()
  .extend({ version });
/** A long list goes on after the last loan of the part that is there already. */
export const LIST_PART = 100;
const after = z.uuid().optional().describe('The id of the last loan of the part before');
const limit = z
  .union([z.number(), z.string().regex(/^\d+$/).transform(Number)])
  .pipe(z.number().int().min(1).max(200))
  .default(LIST_PART)
  .describe('How many at most');
export const LoansQuery = z.strictObject({
  show: z.enum(['open', 'closed', 'all']).default('all'),
  text: text(200).optional().describe('Words in title, maker or unit'),
  makerId: z.uuid().optional(),
  after,
  limit,
});
export type LoansQuery = z.input<typeof LoansQuery>;
export const PublishedQuery = z.strictObject({ after, limit });
export type PublishedQuery = z.input<typeof PublishedQuery>;
export const MoveLoan = z.object({
  version,
  to: Stage,
  overrideReason: text(1000).min(10, 'Say why in a sentence.').optional(),
});

const unitFields = z.object({
  name: name.describe('Model name'),
  kind: UnitKind,
  ways: z.number().int().min(1).max(8).nullable(),
  drivers: text(500).describe('For instance: 165 mm paper cone, 25 mm dome'),
  finish: text(120),
  serial: text(120),
  massKg: z.number().positive().max(2000).nullable(),
  priceMinor: z.number().int().min(0).max(2_000_000_000).nullable(),
  currency: z.string().regex(/^[A-Z]{3}$/),
  ratedOhm: z.number().positive().max(64).nullable(),
  ratedPowerW: z.number().positive().max(20_000).nullable(),
  ratedSensitivityDb: z.number().min(50).max(130).nullable(),
  symmetricCabinet: z
    .boolean()
    .describe('Left and right half are alike: one horizontal half may be mirrored'),
});
export const AddUnit = unitFields.partial().extend({ name, kind: UnitKind });
export const ChangeUnit = unitFields.partial().extend({ version });

export const AddAccessory = z.object({
  name,
  expectedCount: z.number().int().min(1).max(999).default(1),
  packaging: z.boolean().default(false),
});
export const ChangeAccessory = z.object({
  version,
  name: name.optional(),
  expectedCount: z.number().int().min(1).max(999).optional(),
  arrivedCount: z.number().int().min(0).max(999).nullable().optional(),
  arrivalNote: text(1000).optional(),
  returnedCount: z.number().int().min(0).max(999).nullable().optional(),
  returnNote: text(1000).optional(),
  lossTold: z.boolean().optional().describe('The maker was told that it does not come back'),
});

const reportFields = z.object({
  unitId: z.uuid().nullable(),
  condition: text(5000).min(1, 'Describe the condition.'),
  serialSeen: text(120),
  damage: text(5000),
});
export const AddReport = reportFields.extend({
  moment: Moment,
  unitId: reportFields.shape.unitId.default(null),
  serialSeen: reportFields.shape.serialSeen.default(''),
  damage: reportFields.shape.damage.default(''),
});
export const ChangeReport = reportFields.partial().extend({ version, makerTold: z.boolean().optional() });
export const SignReport = z.object({ version });

export const WaiveDataSet = z.object({
  version,
  why: text(500).min(10, 'Say why in a sentence.').nullable(),
});

const points = z.array(Point).max(50);
export const ChangeVerdict = z.object({
  version: z.number().int().min(0),
  text: z
    .string()
    .max(DRAFT_MOST_CHARACTERS)
    .optional()
    .describe('Replaces the whole text; those who write in it at the same time see it happen'),
  draftVersion: z
    .number()
    .int()
    .min(0)
    .optional()
    .describe('With `text`: the version of the text you saw, 0 while there was none'),
  pros: z
    .array(z.union([text(1000).min(1), Point]))
    .max(50)
    .optional(),
  cons: points.optional(),
  suggestions: z.array(Suggestion).max(50).optional(),
  outline: Outline.nullable().optional().describe('The order of this review; null: the team’s'),
});
export const AddSignOff = z.object({
  verdictVersion: z.number().int().min(1),
  draftVersion: z.number().int().min(0).default(0).describe('The version of the text you read'),
  decision: z.enum(['approve', 'request-changes']),
  note: text(2000).default(''),
});

// ---- what the server answers ----

export interface MakerView {
  id: string;
  name: string;
  website: string;
  notes: string;
  contacts: { id: string; name: string; email: string; phone: string; duty: string }[];
  loanCount: number;
  invented: boolean;
  version: number;
}

/** One thing that must be true before a loan leaves its stage. */
export interface Condition {
  code: string;
  sentence: string;
  met: boolean;
}
export interface MoveOffer {
  to: Stage;
  /** The plain way on; the others are ways back or aside. */
  forward: boolean;
  conditions: Condition[];
  allowed: boolean;
  mayOverride: boolean;
}

export interface PlannedDataSetView {
  id: string;
  code: string;
  title: string;
  detail: string;
  /** `sealed`: kept from whoever is listening to the unit blind. */
  state: 'missing' | 'in-work' | 'faulty' | 'complete' | 'waived' | 'sealed';
  /** What is still missing, in words. */
  stillMissing: string;
  waivedWhy: string | null;
  version: number;
}

export interface UnitView {
  id: string;
  loanId: string;
  name: string;
  kind: UnitKind;
  ways: number | null;
  drivers: string;
  finish: string;
  serial: string;
  massKg: number | null;
  priceMinor: number | null;
  currency: string;
  ratedOhm: number | null;
  ratedPowerW: number | null;
  ratedSensitivityDb: number | null;
  symmetricCabinet: boolean;
  invented: boolean;
  version: number;
  plan: PlannedDataSetView[];
  cautions: string[];
  /** The reader has opened this unit's results: a listening session of theirs is no longer blind. */
  dataOpened: boolean;
  /** The reader is listening to this unit blind: its results are kept from them until they seal their session. */
  sealedForYou: boolean;
}

export interface AccessoryView {
  id: string;
  name: string;
  expectedCount: number;
  packaging: boolean;
  arrivedCount: number | null;
  arrivalNote: string;
  returnedCount: number | null;
  returnNote: string;
  lossToldAt: string | null;
  version: number;
}

export interface ReportView {
  id: string;
  moment: Moment;
  unitId: string | null;
  condition: string;
  serialSeen: string;
  damage: string;
  makerToldAt: string | null;
  signedAt: string | null;
  signedByName: string | null;
  photographs: { id: string; name: string; caption: string; url: string; version: number }[];
  /** The serial number read is not the one noted of the unit. */
  serialDiffers: boolean;
  version: number;
}

export interface SignOffView {
  id: string;
  by: string;
  decision: 'approve' | 'request-changes';
  note: string;
  verdictVersion: number;
  draftVersion: number;
  /** Void once the verdict was edited after it. */
  stands: boolean;
  at: string;
}

export interface VerdictView {
  text: string;
  pros: string[];
  /** `evidence` says in words all that is attached; empty when nothing is. */
  cons: { text: string; evidence: string }[];
  points: { pros: Point[]; cons: Point[]; suggestions: Suggestion[] };
  outline: OutlineItem[];
  /** This loan has an order of its own. */
  ownOutline: boolean;
  wordsPerMinute: number;
  /** 0 while nothing has been written. Changes of the text are counted apart. */
  version: number;
  draftVersion: number;
  signOffs: SignOffView[];
  /** Kept from whoever is listening to one of the loan's units blind: everything above is empty. */
  sealedForYou: boolean;
}

export interface HistoryView {
  id: string;
  /** Its place in the chain. */
  number: number;
  at: string;
  by: string;
  action: string;
  sentence: string;
  reason: string | null;
  loanId: string | null;
  loanTitle: string | null;
}

export type Urgency = 'late' | 'at-risk' | 'on-track' | 'settled' | 'undated';

/** One step of a loan's backward plan. */
export interface PlanStepView {
  code: string;
  title: string;
  unitId: string | null;
  start: string | null;
  finish: string | null;
  latestStart: string | null;
  /** By the clock; for drawing. What people read is counted in working days. */
  slackHours: number | null;
  slackWorkingDays: number | null;
  done: boolean;
  binding: string;
  /** `listening`, or `orbits:UNIT` for a step of one unit. */
  stepId: string;
  state: 'done' | 'running' | 'planned' | 'at-risk' | 'late' | 'unplanned';
  /** Each stretch of work: a step may take several. */
  sessions: { start: string; finish: string; pinned: boolean }[];
}
export interface LoanPlanView {
  urgency: Urgency;
  /** The one sentence the dashboard shows. */
  sentence: string;
  slackHours: number | null;
  /** Whole working days of the house before the latest start. */
  slackWorkingDays: number | null;
  mustArriveBy: string | null;
  askExtensionTo: string | null;
  steps: PlanStepView[];
}

export interface LoanSummary {
  id: string;
  title: string;
  makerId: string;
  makerName: string;
  stage: Stage;
  requestedOn: string;
  arrivalFrom: string | null;
  arrivalTo: string | null;
  arrivedOn: string | null;
  embargoUntil: string | null;
  returnBy: string | null;
  publishedAt: string | null;
  /** Where the review can be read, once it is out. */
  publishedUrl: string | null;
  deliveredOn: string | null;
  invented: boolean;
  units: {
    id: string;
    name: string;
    kind: UnitKind;
    /** Both 0 for whoever is listening to the unit blind. */
    missing: number;
    blocking: number;
    sealedForYou: boolean;
  }[];
  plan: LoanPlanView;
  version: number;
}

export interface LoanView extends LoanSummary {
  loanDays: number | null;
  freightPayer: 'maker' | 'team' | 'shared' | null;
  freightDays: number;
  insuredValueMinor: number | null;
  currency: string;
  makerMayComment: boolean;
  makerCommentAgreed: boolean;
  keepUntilPublished: boolean;
  termsAgreedAt: string | null;
  carrier: string | null;
  notes: string;
  returnCarrier: string | null;
  returnTracking: string | null;
  deliveryConfirmedBy: string | null;
  deliveryNote: string;
  deliveryProofs: DeliveryProofView[];
  outcome: 'returned' | 'bought' | 'written-off' | null;
  unitDetails: UnitView[];
  accessories: AccessoryView[];
  reports: ReportView[];
  verdict: VerdictView;
  listening: ListeningView[];
  moves: MoveOffer[];
}

/** What a person is asked to do next. */
export interface Need {
  id: string;
  group: 'due' | 'at-risk' | 'plan' | 'measurements' | 'listening' | 'sign-off' | 'paperwork';
  urgency: Urgency;
  loanId: string;
  unitId: string | null;
  title: string;
  sentence: string;
  /** ISO date the need bites on, when it has one. */
  by: string | null;
  /** Who it waits for, in words (the rig, the co-host ...). */
  waitsFor: string;
}

export interface DashboardView {
  today: string;
  timeZone: string;
  needs: Need[];
  /** Those that are open. */
  loans: LoanSummary[];
  /** Whether there ever was a loan. */
  begun: boolean;
  running: AnalysisSummary[];
  feedNumber: number;
}

export interface AnalysisSummary {
  id: string;
  setId: string;
  setName: string;
  unitId: string;
  unitName: string;
  loanId: string;
  state: import('./names.js').ComputationState;
  progress: number;
  reason: string | null;
  createdAt: string;
  finishedAt: string | null;
  blocking: number;
  checks: number;
}
