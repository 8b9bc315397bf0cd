import type { DemoCalendar } from '../calendar.js';
import {
  arrivalPhotographs,
  arrived,
  measured,
  moves,
  NOTHING_AGREED,
  NOTHING_HAPPENED,
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

/** Out and admired; the unit still stands here. */
export function sedge5Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'BW-S5-00417';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'sedge-5-loan',
    makerId: 'brindlewick',
    title: 'Sedge 5 stand-mount',
    stage: 'published',
    shows: 'a published review whose unit has still to be packed',
    requestedOn: calendar.day(-64),
    arrivalFrom: calendar.workday(-50),
    arrivalTo: calendar.workday(-48),
    arrivedOn: calendar.day(-49),
    returnBy: calendar.workday(12),
    loanDays: 60,
    embargoUntil: calendar.at(-6, 9),
    freightPayer: 'maker',
    insuredValueMinor: 140_000,
    makerCommentAgreed: true,
    carrier: 'Maker\u2019s own van',
    publishedUrl: 'https://twochairroom.example/reviews/sedge-5',
    units: [
      {
        id: 'sedge-5',
        name: 'Sedge 5',
        kind: 'standmount',
        ways: 2,
        drivers: '165 mm paper cone, 25 mm fabric dome, front vent',
        finish: 'Oiled oak',
        serial,
        massKg: 8.4,
        priceMinor: 69_000,
        currency: 'EUR',
        ratedOhm: 8,
        ratedPowerW: 100,
        ratedSensitivityDb: 86,
        symmetricCabinet: true,
        planted: plantedIn('sedge-5'),
        sets: [
          measured(calendar, {
            name: 'Both orbits and levels',
            unit: { serial },
            designId: 'sedge-5',
            dayOffset: -41,
            by: 'jonas',
          }),
        ],
      },
    ],
    accessories: arrived(SMALL_BOX),
    reports: [
      report(calendar, {
        unitId: 'sedge-5',
        condition: 'As new. Veneer and cones faultless, terminals tight.',
        serialSeen: serial,
        by: 'jonas',
        dayOffset: -49,
        photographs: arrivalPhotographs('sedge-5', 'oak'),
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'sedge-5',
        by: 'mira',
        dayOffset: -38,
        placement: 'Stands 60 cm, 45 cm from the wall, toed in 15 degrees, listened to at 2.4 m',
        levelDb: 78,
        remarks: [
          ['Male voices have a little nasal hoot on single notes', 'excess', 650, 900, 2, 'honky'],
          ['Clean and even from there up', 'neutral', 2000, 12000, 1],
          ['Standing up, voices lose their middle', 'lack', 1900, 2800, 2, undefined, 'standing'],
        ],
      }),
      session(calendar, {
        unitId: 'sedge-5',
        by: 'jonas',
        dayOffset: -37,
        placement: 'Stands 60 cm, 80 cm from the wall, no toe-in, 2.4 m',
        levelDb: 80,
        remarks: [
          ['Piano octave above middle C slightly boxed in', 'excess', 500, 850, 2, 'boxy'],
          ['Deep notes stop early but cleanly', 'lack', 25, 42, 2, 'weak bass'],
        ],
      }),
    ],
    verdict: {
      text: 'A small box that tells the truth from the upper bass to the treble, with one note of its own.',
      pros: ['Even response over a wide listening area', 'Clean up to lively levels'],
      cons: [
        {
          text: 'One note around 750 Hz sings along',
          evidence: 'Peak of about 2 dB near 760 Hz in all curves; heard by both listeners',
        },
        {
          text: 'Sit at the height of the tweeter',
          evidence: 'Vertical hole around 2.3 kHz above 15 degrees',
        },
      ],
      by: 'mira',
      at: calendar.at(-14, 15),
      signOffs: [
        { by: 'jonas', decision: 'approve', note: '', at: calendar.at(-12, 10) },
        { by: 'petra', decision: 'approve', note: 'Figures read well on a phone.', at: calendar.at(-11, 17) },
      ],
    },
    moves: moves(calendar, [
      ['requested', -64, 9, 'mira', 'Readers asked for the small Sedge'],
      ['agreed', -58, 14, 'mira', 'Terms settled by e-mail'],
      ['arrived', -49, 11, 'jonas', 'Crate came with the maker\u2019s van'],
      ['measuring', -47, 9, 'jonas', 'Condition report signed'],
      ['listening', -40, 10, 'jonas', 'All data sets complete'],
      ['drafting', -36, 18, 'mira', 'Two sealed sessions'],
      ['published', -6, 10, 'mira', 'Embargo lifted this morning'],
    ]),
  };
}
