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

/** Two working days of freight and one in hand: less than two to spare counts as at risk. */
const FREIGHT_AND_ONE = 3;
const WORKING_DAYS_TO_EMBARGO = 5;

/** Written, waiting for a signature; kept until the embargo next week, and due back right after it: at risk. */
export function reedmaceCLoan(calendar: DemoCalendar): DemoLoan {
  const serial = 'BW-RC-00211';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'reedmace-c-loan',
    makerId: 'brindlewick',
    title: 'Reedmace C centre',
    stage: 'drafting',
    shows:
      'a draft that waits for sign-off while the embargo nears; a day to spare between it and the return',
    requestedOn: calendar.day(-52),
    arrivalFrom: calendar.workday(-36),
    arrivalTo: calendar.workday(-34),
    arrivedOn: calendar.day(-35),
    returnBy: calendar.workingDay(WORKING_DAYS_TO_EMBARGO + FREIGHT_AND_ONE),
    loanDays: 50,
    embargoUntil: `${calendar.workingDay(WORKING_DAYS_TO_EMBARGO)}T09:00:00.000Z`,
    keepUntilPublished: true,
    freightPayer: 'maker',
    insuredValueMinor: 90_000,
    makerCommentAgreed: true,
    carrier: 'Maker\u2019s own van',
    units: [
      {
        id: 'reedmace-c',
        name: 'Reedmace C',
        kind: 'centre',
        ways: 2,
        drivers: 'two 130 mm paper cones side by side, 25 mm fabric dome between, rear vents',
        finish: 'Black ash',
        serial,
        massKg: 11.2,
        priceMinor: 89_000,
        currency: 'EUR',
        ratedOhm: 4,
        ratedPowerW: 120,
        ratedSensitivityDb: 89,
        symmetricCabinet: true,
        planted: plantedIn('reedmace-c'),
        sets: [
          measured(calendar, {
            name: 'Both orbits and levels',
            unit: { serial },
            designId: 'reedmace-c',
            dayOffset: -26,
            by: 'jonas',
          }),
        ],
      },
    ],
    accessories: arrived([
      ['Grille', 1],
      ['Tilting foot', 1],
      ['Carton', 1, 'packaging'],
      ['Foam ends', 2, 'packaging'],
    ]),
    reports: [
      report(calendar, {
        unitId: 'reedmace-c',
        condition: 'As new.',
        serialSeen: serial,
        by: 'mira',
        dayOffset: -35,
        photographs: arrivalPhotographs('reedmace-c', 'black'),
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'reedmace-c',
        by: 'mira',
        dayOffset: -22,
        placement: 'Under the screen, tilted up, 2.8 m',
        levelDb: 75,
        remarks: [
          [
            'From the end of the sofa voices turn hollow',
            'lack',
            1200,
            2600,
            4,
            undefined,
            'two seats to the left',
          ],
          ['A little lean on deep male voices', 'lack', 110, 240, 2, 'thin'],
          ['In the middle seat speech is clear', 'neutral', 800, 5000, 1],
        ],
      }),
    ],
    verdict: {
      text: 'Speaks plainly to whoever sits in the middle and forgets the rest of the sofa.',
      pros: ['Even on its axis', 'Clean at film levels'],
      cons: [
        {
          text: 'Off the middle seat speech loses its middle',
          evidence: 'Horizontal holes from 1 kHz to the crossover; coverage about 20 degrees at 1.7 kHz',
        },
      ],
      by: 'mira',
      at: calendar.at(-4, 15),
      signOffs: [
        {
          by: 'petra',
          decision: 'request-changes',
          note: 'Say what the seats are in metres, please.',
          at: calendar.at(-2, 10),
        },
      ],
    },
    moves: moves(calendar, [
      ['requested', -52, 9, 'mira', 'Matches the Fen 8'],
      ['agreed', -45, 14, 'mira', 'Terms settled'],
      ['arrived', -35, 11, 'mira', 'Crate arrived'],
      ['measuring', -33, 9, 'jonas', 'Condition report signed'],
      ['listening', -25, 10, 'jonas', 'Data complete'],
      ['drafting', -21, 18, 'mira', 'One sealed session'],
    ]),
  };
}
