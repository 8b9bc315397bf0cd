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
import type { DemoLoan, DemoUnit } from '../model.js';

function lumen6(calendar: DemoCalendar): DemoUnit {
  const serial = 'OS-L6-10442';
  return {
    id: 'lumen-6',
    name: 'Lumen 6',
    kind: 'standmount',
    ways: 2,
    drivers: '165 mm coaxial driver with a 25 mm dome in its centre, closed',
    finish: 'White',
    serial,
    massKg: 9.6,
    priceMinor: 98_000,
    currency: 'EUR',
    ratedOhm: 4,
    ratedPowerW: 100,
    ratedSensitivityDb: 87,
    symmetricCabinet: true,
    planted: plantedIn('lumen-6'),
    sets: [
      measured(calendar, {
        name: 'Impulse responses and sweeps',
        unit: { serial },
        designId: 'lumen-6',
        dayOffset: -2,
        by: 'jonas',
      }),
    ],
  };
}

function gravel12(calendar: DemoCalendar): DemoUnit {
  const serial = 'OS-G12-00873';
  return {
    id: 'gravel-12',
    name: 'Gravel 12',
    kind: 'subwoofer',
    ways: 1,
    drivers: '300 mm pulp cone, closed, built-in amplifier',
    finish: 'Black ash',
    serial,
    massKg: 24.5,
    priceMinor: 110_000,
    currency: 'EUR',
    ratedOhm: null,
    ratedPowerW: 400,
    ratedSensitivityDb: null,
    symmetricCabinet: true,
    planted: plantedIn('gravel-12'),
    sets: [
      measured(calendar, {
        name: 'On axis and distortion',
        unit: { serial },
        designId: 'gravel-12',
        dayOffset: -1,
        by: 'jonas',
        parts: ['horizontal', 'distortion'],
      }),
    ],
  };
}

/** One crate, two units: the small one is done, the subwoofer half. */
export function lumen6Loan(calendar: DemoCalendar): DemoLoan {
  const [lumen, gravel] = [lumen6(calendar), gravel12(calendar)];
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'lumen-gravel-loan',
    makerId: 'ostrelle',
    title: 'Lumen 6 with Gravel 12',
    stage: 'measuring',
    shows: 'two units in one loan, heard before they were measured',
    requestedOn: calendar.day(-31),
    arrivalFrom: calendar.workday(-13),
    arrivalTo: calendar.workday(-11),
    arrivedOn: calendar.day(-12),
    returnBy: calendar.workday(33),
    loanDays: 45,
    embargoUntil: calendar.at(20, 9),
    freightPayer: 'maker',
    insuredValueMinor: 320_000,
    makerMayComment: true,
    makerCommentAgreed: true,
    keepUntilPublished: true,
    carrier: 'Parcel and pallet',
    notes: 'The maker wants both kept until the review is out.',
    units: [lumen, gravel],
    accessories: arrived(
      [
        ['Grille, magnetic', 1],
        ['Rubber feet', 8],
        ['Mains lead', 1],
        ['Remote control', 1],
        ['Carton', 2, 'packaging'],
        ['Foam ends', 4, 'packaging'],
        ['Dust bag', 2, 'packaging'],
      ],
      { 'Remote control': { count: 1, note: 'Without batteries.' } },
    ),
    reports: [
      report(calendar, {
        unitId: lumen.id,
        condition: 'As new. The ring around the treble unit sits straight.',
        serialSeen: lumen.serial,
        by: 'jonas',
        dayOffset: -12,
        photographs: arrivalPhotographs('lumen-6', 'white'),
      }),
      report(calendar, {
        unitId: gravel.id,
        condition: 'Good. Mains inlet cover closed, left so.',
        serialSeen: gravel.serial,
        by: 'jonas',
        dayOffset: -12,
        photographs: arrivalPhotographs('gravel-12', 'black', 2),
      }),
    ],
    listening: [
      session(calendar, {
        unitId: lumen.id,
        by: 'mira',
        dayOffset: -5,
        placement: 'Stands 60 cm, 60 cm from the wall, aimed at the chair, 2.2 m; subwoofer off',
        levelDb: 77,
        remarks: [
          [
            'Aimed straight at me the upper middle sounds uneven',
            'lack',
            4200,
            6200,
            2,
            'sibilant',
            'on the axis',
          ],
          ['Turned out a little it smooths', 'neutral', 4000, 10000, 1, undefined, '20 degrees off the axis'],
          ['Light below the bass guitar', 'lack', 30, 62, 2, 'weak bass'],
        ],
      }),
    ],
    moves: moves(calendar, [
      ['requested', -31, 9, 'mira', 'A coaxial driver at a humane price'],
      ['agreed', -25, 14, 'mira', 'Terms settled, unit stays until publication'],
      ['arrived', -12, 11, 'jonas', 'Two cartons on one pallet'],
      ['measuring', -7, 9, 'jonas', 'Condition reports signed'],
    ]),
  };
}
