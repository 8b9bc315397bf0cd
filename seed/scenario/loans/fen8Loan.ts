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

/** Heard blind by one of two listeners; the data are complete. */
export function fen8Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'BW-F8-00058';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'fen-8-loan',
    makerId: 'brindlewick',
    title: 'Fen 8 floor-stander',
    stage: 'listening',
    shows: 'waiting on the second blind listening session',
    requestedOn: calendar.day(-40),
    arrivalFrom: calendar.workday(-22),
    arrivalTo: calendar.workday(-20),
    arrivedOn: calendar.day(-21),
    returnBy: calendar.workday(24),
    loanDays: 45,
    embargoUntil: calendar.at(15, 9),
    freightPayer: 'shared',
    freightDays: 3,
    insuredValueMinor: 380_000,
    makerMayComment: true,
    makerCommentAgreed: true,
    carrier: 'Pallet freight',
    notes: 'Two people to carry: 34 kg each.',
    units: [
      {
        id: 'fen-8',
        name: 'Fen 8',
        kind: 'floorstander',
        ways: 3,
        drivers: 'two 200 mm paper cones, 130 mm woven cone, 25 mm metal dome, rear vent',
        finish: 'Walnut',
        serial,
        massKg: 34,
        priceMinor: 190_000,
        currency: 'EUR',
        ratedOhm: 4,
        ratedPowerW: 220,
        ratedSensitivityDb: 89,
        symmetricCabinet: true,
        planted: plantedIn('fen-8'),
        sets: [
          measured(calendar, {
            name: 'Both orbits and levels',
            unit: { serial },
            designId: 'fen-8',
            dayOffset: -9,
            by: 'jonas',
          }),
        ],
      },
    ],
    accessories: arrived([
      ['Grille', 1],
      ['Spikes', 4],
      ['Spike discs', 4],
      ['Vent plug', 2],
      ['Pallet collar', 1, 'packaging'],
      ['Carton', 1, 'packaging'],
      ['Foam ends', 2, 'packaging'],
    ]),
    reports: [
      report(calendar, {
        unitId: 'fen-8',
        condition: 'Good. One hairline scratch on the rear edge, shown to the driver.',
        serialSeen: serial,
        damage: 'Hairline scratch, rear left edge, 4 cm; was there before unpacking.',
        makerTold: true,
        by: 'jonas',
        dayOffset: -21,
        photographs: [
          ...arrivalPhotographs('fen-8', 'walnut', 2),
          {
            name: 'scratch.png',
            caption: 'Scratch on the rear edge (drawing, invented)',
            subject: { view: 'damage', finish: 'walnut' },
          },
        ],
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'fen-8',
        by: 'mira',
        dayOffset: -3,
        placement: '70 cm from the wall, toed in 10 degrees, 3.2 m',
        levelDb: 82,
        remarks: [
          ['Generous upper bass, kick drums a size too large', 'excess', 60, 140, 3, 'boomy'],
          ['A hum hangs on to low voices and cello', 'excess', 200, 280, 3, 'boxy'],
          ['Deep organ notes arrive whole', 'neutral', 28, 50, 1],
        ],
      }),
      session(calendar, {
        unitId: 'fen-8',
        by: 'petra',
        dayOffset: -1,
        placement: '70 cm from the wall, toed in 10 degrees, 3.2 m',
        levelDb: 76,
        sealed: false,
        remarks: [['Full and warm, perhaps too warm', 'excess', 70, 160, 2, 'boomy']],
      }),
    ],
    moves: moves(calendar, [
      ['requested', -40, 9, 'mira', 'Bigger sister of the Sedge'],
      ['agreed', -33, 14, 'mira', 'Terms settled, embargo accepted'],
      ['arrived', -21, 11, 'jonas', 'Pallet delivered to the door'],
      ['measuring', -19, 9, 'jonas', 'Condition report signed'],
      ['listening', -8, 10, 'jonas', 'All data sets complete'],
    ]),
  };
}
