import type { ClosedSpan, WeeklyHours } from '../calendar/openWindows.js';

/** What has to be done with a unit or a loan; teams may add their own words. */
export type StepKind =
  | 'unpack'
  | 'run-in'
  | 'impedance'
  | 'orbits'
  | 'distortion'
  | 'listening'
  | 'drafting'
  | 'film'
  | 'edit'
  | 'publish'
  | 'pack'
  | (string & {});

/** One step of a work template. Durations are working minutes. */
export interface StepTemplate {
  readonly kind: StepKind;
  readonly label: string;
  readonly minutes: number;
  /** Once for every unit of the loan, or once for the loan. */
  readonly per: 'unit' | 'loan';
  /** For a loan-level step: how several units add up. `sum`: minutes each; `most`: the longest one. */
  readonly combine?: 'sum' | 'most';
  /** Kinds of step that must be over before; those the loan does not have are passed over. */
  readonly after: readonly StepKind[];
  /** How many people it takes; 0 for work that runs by itself. */
  readonly people: number;
  /** Id of the place it occupies, if any (see `PlaceInput`). */
  readonly place?: string;
  /** Makes noise: only within the house's loud hours. */
  readonly loud?: boolean;
  /** Runs by itself, also outside working and opening hours. */
  readonly unattended?: boolean;
  /** Longest stretch in one go; longer work is cut into sessions of about equal length. */
  readonly sessionMinutes?: number;
  /** Fewest sessions, even if the work would fit in fewer. */
  readonly sessions?: number;
  /** Sessions on different days (ears need the night). */
  readonly separateDays?: boolean;
  /** The crate cannot leave before this is done. */
  readonly needsUnit: boolean;
}

/** Template per kind of unit; `other` serves the kinds that have none. */
export type WorkTemplates = Readonly<Record<string, readonly StepTemplate[]>>;

export interface PersonInput {
  readonly id: string;
  readonly name: string;
  /** IANA zone the person lives in; the house's when absent. */
  readonly zone?: string | undefined;
  /** Working hours on the person's own clock; the house's when absent. */
  readonly hours?: readonly WeeklyHours[] | undefined;
  /** Holidays, travel, busy times. */
  readonly away?: readonly ClosedSpan[] | undefined;
  /** Kinds of step the person does; all when absent. */
  readonly does?: readonly StepKind[] | undefined;
}

export interface PlaceInput {
  readonly id: string;
  readonly name: string;
  /** How many pieces of work it takes at once; 1 when absent. */
  readonly capacity?: number | undefined;
  /** When it may be used by people; round the clock when absent. Unattended work may go on outside. */
  readonly hours?: readonly WeeklyHours[] | undefined;
  /** When nothing at all may run in it. */
  readonly closed?: readonly ClosedSpan[] | undefined;
}

export interface HouseInput {
  /** IANA zone of the house: the rig, the rooms, the carrier, and people who state none. */
  readonly zone: string;
  /** Usual working hours. Monday to Friday 09:00-18:00 when absent. */
  readonly hours?: readonly WeeklyHours[] | undefined;
  /** When loud tests are allowed. The working hours when absent. */
  readonly loudHours?: readonly WeeklyHours[] | undefined;
  /** Civil dates (YYYY-MM-DD) on which nobody works, nothing loud runs and no carrier comes. */
  readonly holidays?: readonly string[] | undefined;
}

export interface UnitInput {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  /** Above 23 kg two people lift it. */
  readonly massKg?: number | null | undefined;
}

/** What is known about a step already: done, being done, or how long it will really take. */
export interface StepProgress {
  readonly kind: StepKind;
  /** Absent for a step of the whole loan. */
  readonly unitId?: string | undefined;
  readonly state?: 'done' | 'running' | 'skipped' | undefined;
  /** Working minutes still needed; overrides the template. */
  readonly remainingMinutes?: number | undefined;
  readonly startedAt?: string | undefined;
  readonly finishedAt?: string | undefined;
}

export interface LoanInput {
  readonly id: string;
  readonly title: string;
  /** Instant the crate is expected, or arrived. Null: not known yet, only "must arrive by" is worked out. */
  readonly arrival: string | null;
  readonly arrived: boolean;
  /** Instant (end of the agreed day) by which the unit must be delivered back. Null: no date agreed. */
  readonly returnBy: string | null;
  /** Nothing is published before this instant. */
  readonly embargo?: string | null | undefined;
  /** Publication wanted by this instant; missing it counts, but less than a late return. */
  readonly publishBy?: string | null | undefined;
  /** Carrier days in transit, towards the house and back. */
  readonly freightDaysIn: number;
  readonly freightDaysOut: number;
  readonly keepUntilPublished: boolean;
  readonly units: readonly UnitInput[];
  /** How much a day late costs compared with other loans; 1 when absent. */
  readonly weight?: number | undefined;
  /** Ids of the people who may do a kind of step for this loan, the preferred first; `*` for every other kind. */
  readonly assignees?: Readonly<Record<string, readonly string[]>> | undefined;
  readonly progress?: readonly StepProgress[] | undefined;
  /** The pack step is over and the crate left: nothing remains to plan. */
  readonly sentBack?: boolean | undefined;
}

/** Something that is in the calendar: one session of one step. */
export interface Booking {
  /** Stable over re-planning: loan, step, session. */
  readonly id: string;
  readonly loanId: string;
  readonly stepId: string;
  /** 1, 2, ... within the step. */
  readonly session: number;
  readonly start: string;
  readonly finish: string;
  /** Ids of the people and places it takes. */
  readonly resourceIds: readonly string[];
  /** Fixed by the team: re-planning does not move it. */
  readonly pinned: boolean;
}

export interface PlanLoansInput {
  /** Instant of planning: nothing that is not running is put before it. ISO 8601. */
  readonly now: string;
  readonly house: HouseInput;
  readonly people: readonly PersonInput[];
  readonly places: readonly PlaceInput[];
  readonly loans: readonly LoanInput[];
  /** Absent: `defaultTemplates`. */
  readonly templates?: WorkTemplates | undefined;
  /** The plan in force: kept as far as it can be; pinned bookings do not move at all. */
  readonly previous?: readonly Booking[] | undefined;
  /** 15 when absent; a divisor of 60. */
  readonly slotMinutes?: number | undefined;
  /** Working days of slack under which a loan counts as at risk; 2 when absent. */
  readonly atRiskWorkingDays?: number | undefined;
  /** How hard to look for a better plan, in attempts; 200 when absent. Equal input gives an equal plan. */
  readonly attempts?: number | undefined;
}

export type StepState = 'done' | 'running' | 'planned' | 'at-risk' | 'late' | 'unplanned';

export interface StepPlan {
  /** Kind of step, with the unit's id where it is per unit: `orbits:UNIT` or `listening`. */
  readonly stepId: string;
  readonly kind: StepKind;
  readonly label: string;
  readonly unitId: string | null;
  readonly state: StepState;
  /** First start and last finish of its sessions; null while nothing is planned. */
  readonly start: string | null;
  readonly finish: string | null;
  /**
   * Latest start with which the loan still goes back on time, even if every other loan uses its slack too; in the past
   * or before `start` when it is too late already; null where no date depends on it.
   */
  readonly latestStart: string | null;
  /** latestStart - start in minutes of real time; negative: too late already. */
  readonly slackMinutes: number | null;
  /** Whole working days of the house in that slack. */
  readonly slackWorkingDays: number | null;
  /** Why it does not start earlier, in words. */
  readonly bindingConstraint: string;
  readonly sessions: readonly Booking[];
}

export type LoanState = 'on-track' | 'at-risk' | 'late' | 'unscheduled';

export interface LoanPlan {
  readonly loanId: string;
  readonly state: LoanState;
  /** One sentence: what holds the loan up most, or how much room it has. */
  readonly why: string;
  readonly steps: readonly StepPlan[];
  /** Expected end of reviewing: the draft (and film) are ready. */
  readonly reviewedAt: string | null;
  readonly publishedAt: string | null;
  /** Crate ready for the carrier, and delivered to the maker. */
  readonly readyToSendAt: string | null;
  readonly returnedAt: string | null;
  /** Latest collection of the crate for a return on time. */
  readonly sendBackBy: string | null;
  /** Latest arrival (and latest dispatch by the maker) with which everything still fits; null once it arrived. */
  readonly mustArriveBy: string | null;
  readonly makerMustSendBy: string | null;
  /** Minutes by which the return is late; 0 when it is not; null without a date. */
  readonly lateMinutes: number | null;
  /** Least slack over the steps that remain. */
  readonly slackMinutes: number | null;
  readonly slackWorkingDays: number | null;
  /** Civil date (house zone) to ask the maker for; null when none is needed. */
  readonly askForExtensionTo: string | null;
}

export interface PlanProblem {
  readonly code: string;
  readonly message: string;
  readonly loanId?: string | undefined;
  readonly bookingId?: string | undefined;
}

/** A booking that the new plan moved, added or dropped. */
export interface BookingChange {
  readonly bookingId: string;
  readonly loanId: string;
  readonly change: 'added' | 'removed' | 'moved' | 'reassigned';
  readonly before: Booking | null;
  readonly after: Booking | null;
}

export interface LoanPlans {
  readonly loans: readonly LoanPlan[];
  /** All loans' bookings by start. */
  readonly bookings: readonly Booking[];
  readonly changes: readonly BookingChange[];
  /** What could not be honoured; the rest of the plan stands. */
  readonly problems: readonly PlanProblem[];
}
