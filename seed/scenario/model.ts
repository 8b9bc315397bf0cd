import type { Remark } from '../../libs/contracts/listening.js';
import type { Role, Stage, UnitKind } from '../../libs/contracts/names.js';
import type { textFaults } from '../faults.js';
import type { SetPart } from '../files/recipe.js';
import type { PlantedFeature } from '../units/unitDesign.js';
import type { PhotographSubject } from './photograph.js';

/**
 * The invented demo as plain data. Ids are short names of its own; whoever loads it gives the rows theirs. Days
 * are YYYY-MM-DD, instants ISO 8601 in UTC, money in cents; names follow the contracts.
 */
export interface DemoScenario {
  readonly invented: true;
  readonly seed: number;
  readonly today: string;
  readonly team: DemoTeam;
  readonly makers: readonly DemoMaker[];
  readonly loans: readonly DemoLoan[];
}

export interface DemoTeam {
  readonly name: string;
  readonly timeZone: string;
  readonly people: readonly DemoPerson[];
}

export interface DemoPerson {
  readonly id: PersonId;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly timeZone: string;
}
export type PersonId = 'mira' | 'jonas' | 'petra' | 'sam';

export interface DemoMaker {
  readonly id: MakerId;
  readonly name: string;
  readonly website: string;
  readonly notes: string;
  readonly contacts: readonly {
    readonly name: string;
    readonly email: string;
    readonly phone: string;
    readonly duty: string;
  }[];
}
export type MakerId = 'brindlewick' | 'ostrelle' | 'tarnhollow' | 'vellimar';

export interface DemoLoan extends DemoTerms {
  readonly id: string;
  readonly makerId: MakerId;
  readonly title: string;
  readonly stage: Stage;
  /** Why this loan is in the demo. */
  readonly shows: string;
  readonly requestedOn: string;
  readonly arrivedOn: string | null;
  readonly publishedUrl: string | null;
  readonly returnCarrier: string | null;
  readonly returnTracking: string | null;
  readonly deliveredOn: string | null;
  readonly deliveryConfirmedBy: string | null;
  readonly outcome: 'returned' | 'bought' | 'written-off' | null;
  readonly units: readonly DemoUnit[];
  readonly accessories: readonly DemoAccessory[];
  readonly reports: readonly DemoReport[];
  readonly listening: readonly DemoListening[];
  readonly verdict: DemoVerdict | null;
  /** Every stage entered, first to last; the last one is `stage`. */
  readonly moves: readonly DemoMove[];
}

export interface DemoTerms {
  readonly arrivalFrom: string | null;
  readonly arrivalTo: string | null;
  readonly returnBy: string | null;
  readonly loanDays: number | null;
  readonly embargoUntil: string | null;
  readonly freightPayer: 'maker' | 'team' | 'shared' | null;
  readonly freightDays: number;
  readonly insuredValueMinor: number | null;
  readonly currency: string;
  readonly makerMayComment: boolean;
  readonly makerCommentAgreed: boolean;
  readonly keepUntilPublished: boolean;
  readonly carrier: string | null;
  readonly notes: string;
}

export interface DemoUnit {
  readonly id: string;
  readonly name: string;
  readonly kind: UnitKind;
  readonly ways: number;
  readonly drivers: string;
  readonly finish: string;
  readonly serial: string;
  readonly massKg: number;
  readonly priceMinor: number;
  readonly currency: string;
  readonly ratedOhm: number | null;
  readonly ratedPowerW: number;
  readonly ratedSensitivityDb: number | null;
  readonly symmetricCabinet: boolean;
  readonly sets: readonly DemoSet[];
  /** What analysis and listening have to find; for tests and for the demo's own explanation. */
  readonly planted: readonly PlantedFeature[];
}

/** A measurement set; `demoSetFiles` makes its files. */
export interface DemoSet {
  readonly name: string;
  readonly takenAt: string;
  readonly by: PersonId;
  readonly designId: string;
  readonly serial: string;
  readonly parts: readonly SetPart[];
  /** Faults made in it, in this order; empty for a clean one. */
  readonly faults: readonly (keyof typeof textFaults)[];
}

export interface DemoAccessory {
  readonly name: string;
  readonly expectedCount: number;
  readonly packaging: boolean;
  readonly arrivedCount: number | null;
  readonly arrivalNote: string;
  readonly returnedCount: number | null;
  readonly returnNote: string;
}

export interface DemoReport {
  readonly moment: 'arrival' | 'return';
  readonly unitId: string | null;
  readonly condition: string;
  readonly serialSeen: string;
  readonly damage: string;
  readonly by: PersonId;
  readonly at: string;
  readonly makerToldAt: string | null;
  readonly signedAt: string | null;
  readonly photographs: readonly DemoPhotograph[];
}

/** `photographPng(photograph.subject)` draws it. */
export interface DemoPhotograph {
  readonly name: string;
  readonly caption: string;
  readonly subject: PhotographSubject;
}

export interface DemoListening {
  readonly unitId: string;
  readonly by: PersonId;
  readonly heardOn: string;
  readonly placement: string;
  readonly levelDb: number | null;
  readonly remarks: readonly Remark[];
  readonly sealedAt: string | null;
}

export interface DemoVerdict {
  readonly text: string;
  readonly pros: readonly string[];
  readonly cons: readonly { readonly text: string; readonly evidence: string }[];
  readonly by: PersonId;
  readonly at: string;
  readonly signOffs: readonly {
    readonly by: PersonId;
    readonly decision: 'approve' | 'request-changes';
    readonly note: string;
    readonly at: string;
  }[];
}

export interface DemoMove {
  readonly to: Stage;
  readonly at: string;
  readonly by: PersonId;
  readonly why: string;
}
