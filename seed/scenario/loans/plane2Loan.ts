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

/** Heard first; of the measurements the louder ones are missing. */
export function plane2Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'VS-P2-00164';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'plane-2-loan',
    makerId: 'vellimar',
    title: 'Plane 2 open panel',
    stage: 'measuring',
    shows: 'data still missing: distortion, multitone and compression',
    requestedOn: calendar.day(-34),
    arrivalFrom: calendar.workday(-16),
    arrivalTo: calendar.workday(-14),
    arrivedOn: calendar.day(-15),
    returnBy: calendar.workday(21),
    loanDays: 36,
    embargoUntil: calendar.at(10, 9),
    freightPayer: 'maker',
    freightDays: 3,
    insuredValueMinor: 450_000,
    makerCommentAgreed: true,
    carrier: 'Pallet freight',
    units: [
      {
        id: 'plane-2',
        name: 'Plane 2',
        kind: 'panel',
        ways: 2,
        drivers: 'bass foil 240 x 660 mm, treble ribbon 110 mm beside it, open at the back',
        finish: 'Black frame, grey cloth',
        serial,
        massKg: 19,
        priceMinor: 240_000,
        currency: 'EUR',
        ratedOhm: 4,
        ratedPowerW: 150,
        ratedSensitivityDb: 85,
        symmetricCabinet: false,
        planted: plantedIn('plane-2'),
        sets: [
          measured(calendar, {
            name: 'Both orbits and impedance',
            unit: { serial },
            designId: 'plane-2',
            dayOffset: -3,
            by: 'jonas',
            parts: ['horizontal', 'vertical', 'impedance'],
          }),
        ],
      },
    ],
    accessories: arrived(
      [
        ['Feet', 2],
        ['Jumper leads', 2],
        ['Cloth cover', 1],
        ['Carton', 1, 'packaging'],
        ['Corner foams', 8, 'packaging'],
      ],
      { 'Cloth cover': { count: 0, note: 'Not in the crate; the maker sends it after.' } },
    ),
    reports: [
      report(calendar, {
        unitId: 'plane-2',
        condition: 'Good. Foil taut, no rattles at low level.',
        serialSeen: serial,
        damage: 'Cloth cover missing from the crate.',
        makerTold: true,
        by: 'mira',
        dayOffset: -15,
        photographs: arrivalPhotographs('plane-2', 'black', 2),
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'plane-2',
        by: 'mira',
        dayOffset: -10,
        placement: '1.2 m from the wall, ribbons inside, toed in 20 degrees, 2.9 m',
        levelDb: 76,
        remarks: [
          ['Cellos and tenors have little body', 'lack', 120, 260, 4, 'thin'],
          ['Nothing under the double bass', 'lack', 25, 55, 3, 'weak bass'],
          ['Sitting low or standing changes the treble at once', 'lack', 4000, 12000, 3, 'dull', 'standing'],
        ],
      }),
    ],
    moves: moves(calendar, [
      ['requested', -34, 9, 'mira', 'We have never had an open panel'],
      ['agreed', -27, 14, 'mira', 'Terms settled'],
      ['arrived', -15, 11, 'mira', 'Pallet arrived'],
      ['measuring', -13, 9, 'jonas', 'Condition report signed'],
    ]),
  };
}
