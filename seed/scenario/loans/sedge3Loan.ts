import type { DemoCalendar } from '../calendar.js';
import {
  arrivalPhotographs,
  arrived,
  measured,
  moves,
  NOTHING_AGREED,
  NOTHING_HAPPENED,
  packedAgain,
  plantedIn,
  report,
  session,
} from '../loanParts.js';
import type { DemoLoan } from '../model.js';

const SMALL_BOX = [
  ['Grille', 1],
  ['Rubber feet', 4],
  ['Vent plug', 1],
  ['Inner carton', 1, 'packaging'],
  ['Foam ends', 2, 'packaging'],
] as const;

/** Back with its maker: the archive's first entry to compare with. */
export function sedge3Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'BW-S3-01932';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'sedge-3-loan',
    makerId: 'brindlewick',
    title: 'Sedge 3 shelf loudspeaker',
    stage: 'closed',
    shows: 'a finished loan, there to compare with',
    requestedOn: calendar.day(-150),
    arrivalFrom: calendar.workday(-135),
    arrivalTo: calendar.workday(-133),
    arrivedOn: calendar.day(-134),
    returnBy: calendar.workday(-70),
    loanDays: 60,
    freightPayer: 'maker',
    insuredValueMinor: 60_000,
    makerCommentAgreed: true,
    carrier: 'Maker\u2019s own van',
    publishedUrl: 'https://twochairroom.example/reviews/sedge-3',
    returnCarrier: 'Maker\u2019s own van',
    returnTracking: 'BW-VAN-1187',
    deliveredOn: calendar.day(-74),
    deliveryConfirmedBy: 'Oda Farrowgate',
    outcome: 'returned',
    units: [
      {
        id: 'sedge-3',
        name: 'Sedge 3',
        kind: 'standmount',
        ways: 2,
        drivers: '100 mm paper cone, 25 mm fabric dome, closed',
        finish: 'White',
        serial,
        massKg: 4.1,
        priceMinor: 34_000,
        currency: 'EUR',
        ratedOhm: 6,
        ratedPowerW: 60,
        ratedSensitivityDb: 84,
        symmetricCabinet: true,
        planted: plantedIn('sedge-3'),
        sets: [
          measured(calendar, {
            name: 'Both orbits and levels',
            unit: { serial },
            designId: 'sedge-3',
            dayOffset: -126,
            by: 'jonas',
          }),
        ],
      },
    ],
    accessories: packedAgain(arrived(SMALL_BOX)),
    reports: [
      report(calendar, {
        unitId: 'sedge-3',
        condition: 'Demonstration unit, light rubbing on the underside.',
        serialSeen: serial,
        by: 'jonas',
        dayOffset: -134,
        photographs: arrivalPhotographs('sedge-3', 'white', 3),
      }),
      report(calendar, {
        moment: 'return',
        unitId: 'sedge-3',
        condition: 'As it came.',
        serialSeen: serial,
        by: 'mira',
        dayOffset: -76,
        photographs: [
          {
            name: 'packed.png',
            caption: 'Crate packed (drawing, invented)',
            subject: { view: 'crate', marks: 3 },
          },
        ],
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'sedge-3',
        by: 'mira',
        dayOffset: -122,
        placement: 'Shelf, 10 cm from the wall, 1.6 m',
        levelDb: 74,
        remarks: [
          ['Voices step forward', 'excess', 900, 1900, 2, 'tinny'],
          ['Thin without the shelf behind it', 'lack', 60, 120, 3, 'thin'],
        ],
      }),
    ],
    verdict: {
      text: 'Asks for a subwoofer and a shelf; with both it is a cheerful companion.',
      pros: ['Small', 'Wide coverage'],
      cons: [{ text: 'Little below 90 Hz', evidence: 'F3 near 88 Hz' }],
      by: 'mira',
      at: calendar.at(-100, 15),
      signOffs: [{ by: 'jonas', decision: 'approve', note: '', at: calendar.at(-98, 10) }],
    },
    moves: moves(calendar, [
      ['requested', -150, 9, 'mira', 'First contact at a fair'],
      ['agreed', -142, 14, 'mira', 'Terms settled'],
      ['arrived', -134, 11, 'jonas', 'Crate arrived'],
      ['measuring', -132, 9, 'jonas', 'Condition report signed'],
      ['listening', -125, 10, 'jonas', 'Data complete'],
      ['drafting', -121, 18, 'mira', 'One sealed session'],
      ['published', -92, 10, 'mira', 'No embargo'],
      ['returning', -76, 10, 'mira', 'Packed'],
      ['closed', -74, 15, 'mira', 'Delivery confirmed by the maker'],
    ]),
  };
}
