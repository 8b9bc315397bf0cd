import type { DemoCalendar } from '../calendar.js';
import { arrived, moves, NOTHING_AGREED, NOTHING_HAPPENED, report } from '../loanParts.js';
import type { DemoLoan } from '../model.js';

/** Just unpacked: a dented corner, the report not yet signed, the maker not yet told. */
export function strand5Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'VS-S5-01375';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'strand-5-loan',
    makerId: 'vellimar',
    title: 'Strand 5 stand-mount',
    stage: 'arrived',
    shows: 'damage found on unpacking that the maker has not been told of yet',
    requestedOn: calendar.day(-21),
    arrivalFrom: calendar.workday(-2),
    arrivalTo: calendar.workday(1),
    arrivedOn: calendar.day(-1),
    returnBy: calendar.workday(40),
    loanDays: 40,
    embargoUntil: calendar.at(28, 9),
    freightPayer: 'maker',
    insuredValueMinor: 110_000,
    makerCommentAgreed: true,
    carrier: 'Parcel service',
    units: [
      {
        id: 'strand-5',
        name: 'Strand 5',
        kind: 'standmount',
        ways: 2,
        drivers: '130 mm polymer cone, 25 mm metal dome, rear vent',
        finish: 'White',
        serial,
        massKg: 6.8,
        priceMinor: 52_000,
        currency: 'EUR',
        ratedOhm: 6,
        ratedPowerW: 80,
        ratedSensitivityDb: 85,
        symmetricCabinet: true,
        planted: [],
        sets: [],
      },
    ],
    accessories: arrived(
      [
        ['Grille', 1],
        ['Rubber feet', 4],
        ['Carton', 1, 'packaging'],
        ['Foam ends', 2, 'packaging'],
      ],
      { 'Rubber feet': { count: 3, note: 'One missing.' } },
    ),
    reports: [
      report(calendar, {
        unitId: 'strand-5',
        condition: 'Cabinet good but for one corner; cones and dome untouched.',
        serialSeen: serial,
        damage: 'Front top right corner dented, lacquer chipped, 15 mm. Carton crushed at the same corner.',
        signed: false,
        by: 'mira',
        dayOffset: -1,
        photographs: [
          {
            name: 'crate.png',
            caption: 'Crushed corner (drawing, invented)',
            subject: { view: 'crate', marks: 5 },
          },
          {
            name: 'corner.png',
            caption: 'Dented corner (drawing, invented)',
            subject: { view: 'damage', finish: 'white' },
          },
          {
            name: 'plate.png',
            caption: 'Type plate (drawing, invented)',
            subject: { view: 'plate', seed: 5 },
          },
        ],
      }),
    ],
    moves: moves(calendar, [
      ['requested', -21, 9, 'jonas', 'Small sister of the Strand 7'],
      ['agreed', -14, 14, 'mira', 'Terms settled'],
      ['arrived', -1, 8, 'mira', 'Parcel at the door'],
    ]),
  };
}
