import type { Stage } from '../../libs/contracts/names.js';
import { setParts } from '../files/recipe.js';
import type { PlantedFeature } from '../units/unitDesign.js';
import { unitDesigns } from '../units/index.js';
import type { DemoCalendar } from './calendar.js';
import type {
  DemoAccessory,
  DemoListening,
  DemoLoan,
  DemoMove,
  DemoPhotograph,
  DemoReport,
  DemoSet,
  DemoTerms,
  DemoUnit,
  PersonId,
} from './model.js';

/** What a loan has before anything was agreed or happened. */
export const NOTHING_AGREED: DemoTerms = {
  arrivalFrom: null,
  arrivalTo: null,
  returnBy: null,
  loanDays: null,
  embargoUntil: null,
  freightPayer: null,
  freightDays: 2,
  insuredValueMinor: null,
  currency: 'EUR',
  makerMayComment: false,
  makerCommentAgreed: false,
  keepUntilPublished: false,
  carrier: null,
  notes: '',
};

export const NOTHING_HAPPENED = {
  arrivedOn: null,
  publishedUrl: null,
  returnCarrier: null,
  returnTracking: null,
  deliveredOn: null,
  deliveryConfirmedBy: null,
  outcome: null,
  units: [],
  accessories: [],
  reports: [],
  listening: [],
  verdict: null,
} satisfies Partial<DemoLoan>;

/** Stage, days from today, hour, who and why. */
export type MoveLine = readonly [Stage, number, number, PersonId, string];

export function moves(calendar: DemoCalendar, lines: readonly MoveLine[]): readonly DemoMove[] {
  return lines.map(([to, offset, hour, by, why]) => ({ to, at: calendar.at(offset, hour), by, why }));
}

/** What came in the crate: name, how many, and whether it is packaging. */
export type AccessoryLine = readonly [name: string, count: number, packaging?: 'packaging'];

/** A checklist not yet filled in. */
export function expected(lines: readonly AccessoryLine[]): readonly DemoAccessory[] {
  return lines.map(([name, expectedCount, packaging]) => ({
    name,
    expectedCount,
    packaging: packaging !== undefined,
    arrivedCount: null,
    arrivalNote: '',
    returnedCount: null,
    returnNote: '',
  }));
}

/** A checklist ticked on arrival; `notes` by name for what was not as expected. */
export function arrived(
  lines: readonly AccessoryLine[],
  notes: Readonly<Record<string, { readonly count: number; readonly note: string }>> = {},
): readonly DemoAccessory[] {
  return expected(lines).map((accessory) => {
    const seen = notes[accessory.name];
    return {
      ...accessory,
      arrivedCount: seen?.count ?? accessory.expectedCount,
      arrivalNote: seen?.note ?? '',
    };
  });
}

/** A checklist ticked again when the crate was packed. */
export function packedAgain(accessories: readonly DemoAccessory[]): readonly DemoAccessory[] {
  return accessories.map((accessory) => ({ ...accessory, returnedCount: accessory.arrivedCount }));
}

interface ReportInput {
  readonly moment?: 'arrival' | 'return';
  readonly unitId: string;
  readonly condition: string;
  readonly serialSeen: string;
  readonly damage?: string;
  readonly by: PersonId;
  readonly dayOffset: number;
  readonly makerTold?: boolean;
  readonly signed?: boolean;
  readonly photographs: readonly DemoPhotograph[];
}

export function report(calendar: DemoCalendar, input: ReportInput): DemoReport {
  const { dayOffset, makerTold = false, signed = true, moment = 'arrival', damage = '' } = input;
  return {
    moment,
    unitId: input.unitId,
    condition: input.condition,
    serialSeen: input.serialSeen,
    damage,
    by: input.by,
    at: calendar.at(dayOffset, 11),
    makerToldAt: makerTold ? calendar.at(dayOffset, 12) : null,
    signedAt: signed ? calendar.at(dayOffset, 13) : null,
    photographs: input.photographs,
  };
}

/** The two pictures every arrival has: the crate and the cabinet's face. */
export function arrivalPhotographs(
  designId: string,
  finish: 'oak' | 'black' | 'white' | 'walnut',
  marks = 1,
): readonly DemoPhotograph[] {
  return [
    {
      name: 'crate.png',
      caption: 'Crate before opening (drawing, invented)',
      subject: { view: 'crate', marks },
    },
    {
      name: `${designId}-front.png`,
      caption: 'Front after unpacking (drawing, invented)',
      subject: { view: 'front', designId, finish },
    },
  ];
}

interface SetInput {
  readonly name: string;
  readonly unit: Pick<DemoUnit, 'serial'>;
  readonly designId: string;
  readonly dayOffset: number;
  readonly by: PersonId;
  readonly parts?: DemoSet['parts'];
  readonly faults?: DemoSet['faults'];
}

export function measured(calendar: DemoCalendar, input: SetInput): DemoSet {
  return {
    name: input.name,
    takenAt: calendar.at(input.dayOffset, 16),
    by: input.by,
    designId: input.designId,
    serial: input.unit.serial,
    parts: input.parts ?? setParts,
    faults: input.faults ?? [],
  };
}

export function plantedIn(designId: string): readonly PlantedFeature[] {
  return unitDesigns.find((design) => design.id === designId)?.planted ?? [];
}

/** Words, sign, from and to in hertz, severity 1..5, descriptor, and the place they were heard from. */
export type RemarkLine = readonly [
  text: string,
  sign: 'excess' | 'lack' | 'neutral',
  fromHz: number,
  toHz: number,
  severity: number,
  descriptor?: string,
  position?: string,
];

interface SessionInput {
  readonly unitId: string;
  readonly by: PersonId;
  readonly dayOffset: number;
  readonly placement: string;
  readonly levelDb: number;
  readonly sealed?: boolean;
  readonly remarks: readonly RemarkLine[];
}

export function session(calendar: DemoCalendar, input: SessionInput): DemoListening {
  return {
    unitId: input.unitId,
    by: input.by,
    heardOn: calendar.day(input.dayOffset),
    placement: input.placement,
    levelDb: input.levelDb,
    sealedAt: input.sealed === false ? null : calendar.at(input.dayOffset, 20),
    remarks: input.remarks.map(([text, sign, fromHz, toHz, severity, descriptor, position], index) => ({
      id: `${input.unitId}-${input.by}-${index + 1}`,
      text,
      sign,
      fromHz,
      toHz,
      severity,
      ...(descriptor !== undefined && { descriptor }),
      ...(position !== undefined && { position }),
    })),
  };
}
