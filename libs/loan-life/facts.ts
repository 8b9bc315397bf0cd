/** What the stage machine and the measurement plan need to know of a loan. Plain values, no database. */
import type { Stage, UnitKind } from '../contracts/index.js';

export interface LoanFacts {
  readonly stage: Stage;
  readonly now: Date;
  readonly arrivalFrom: string | null;
  readonly arrivalTo: string | null;
  readonly arrivedOn: string | null;
  readonly returnBy: string | null;
  readonly loanDays: number | null;
  readonly embargoUntil: string | null;
  readonly freightPayer: string | null;
  readonly insuredValueMinor: number | null;
  readonly makerCommentAgreed: boolean;
  /** The maker's comment round: `not-agreed` where the terms know none. */
  readonly makerRound: 'not-agreed' | 'not-begun' | 'open' | 'over';
  readonly keepUntilPublished: boolean;
  readonly carrier: string | null;
  readonly publishedUrl: string | null;
  readonly returnCarrier: string | null;
  readonly returnTracking: string | null;
  readonly deliveredOn: string | null;
  readonly deliveryConfirmedBy: string | null;
  /** A file or photograph of the delivery is kept, or a note of what was seen. */
  readonly deliveryProven: boolean;
  readonly outcome: string | null;
  readonly units: readonly UnitFacts[];
  readonly accessories: readonly AccessoryFacts[];
  readonly reports: readonly ReportFacts[];
  readonly cons: readonly { readonly text: string; readonly evidence: string }[];
  readonly verdictVersion: number;
  /** The text is counted apart from the rest of the verdict. */
  readonly draftVersion: number;
  readonly signOffs: readonly {
    readonly verdictVersion: number;
    readonly draftVersion: number;
    readonly decision: string;
    readonly by: string;
  }[];
}

export interface UnitFacts {
  readonly id: string;
  readonly name: string;
  readonly kind: UnitKind;
  readonly plan: readonly PlannedState[];
  readonly blockingFindings: number;
  readonly sealedSessions: number;
}

export interface PlannedState {
  readonly code: string;
  readonly title: string;
  readonly state: 'missing' | 'in-work' | 'faulty' | 'complete' | 'waived';
  readonly stillMissing: string;
}

export interface AccessoryFacts {
  readonly name: string;
  readonly expectedCount: number;
  readonly arrivedCount: number | null;
  readonly returnedCount: number | null;
  /** The maker was told that it does not come back, and it is noted what became of it. */
  readonly lossSettled: boolean;
}

export interface ReportFacts {
  readonly moment: 'arrival' | 'return';
  readonly unitId: string | null;
  readonly damage: string;
  readonly makerTold: boolean;
  readonly signed: boolean;
}
