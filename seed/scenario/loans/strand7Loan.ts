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
} from '../loanParts.js';
import type { DemoLoan } from '../model.js';

/** The one with deliberate faults in its data, for the checks to find while the unit is still here. */
export function strand7Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'VS-S7-00920';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'strand-7-loan',
    makerId: 'vellimar',
    title: 'Strand 7 floor-stander',
    stage: 'measuring',
    shows: 'a set with faults: an angle missing, a level step, a file saved twice, a lead crossed',
    requestedOn: calendar.day(-29),
    arrivalFrom: calendar.workday(-10),
    arrivalTo: calendar.workday(-8),
    arrivedOn: calendar.day(-9),
    returnBy: calendar.workday(18),
    loanDays: 28,
    embargoUntil: calendar.at(12, 9),
    freightPayer: 'maker',
    insuredValueMinor: 260_000,
    makerCommentAgreed: true,
    carrier: 'Pallet freight',
    units: [
      {
        id: 'strand-7',
        name: 'Strand 7',
        kind: 'floorstander',
        ways: 3,
        drivers: 'two 165 mm polymer cones (one for the bass only), 25 mm metal dome, rear vent',
        finish: 'White',
        serial,
        massKg: 22.5,
        priceMinor: 140_000,
        currency: 'EUR',
        ratedOhm: 4,
        ratedPowerW: 160,
        ratedSensitivityDb: 88,
        symmetricCabinet: true,
        planted: plantedIn('strand-7'),
        sets: [
          measured(calendar, {
            name: 'First run, to be repeated in part',
            unit: { serial },
            designId: 'strand-7',
            dayOffset: -1,
            by: 'jonas',
            faults: ['missingAngle', 'levelStep', 'identicalFiles', 'polarityFlip'],
          }),
        ],
      },
    ],
    accessories: arrived([
      ['Grille', 1],
      ['Spikes', 4],
      ['Vent plug', 1],
      ['Carton', 1, 'packaging'],
      ['Foam ends', 2, 'packaging'],
    ]),
    reports: [
      report(calendar, {
        unitId: 'strand-7',
        condition: 'As new.',
        serialSeen: serial,
        by: 'mira',
        dayOffset: -9,
        photographs: arrivalPhotographs('strand-7', 'white', 2),
      }),
    ],
    moves: moves(calendar, [
      ['requested', -29, 9, 'mira', 'A slim tower readers ask about'],
      ['agreed', -22, 14, 'mira', 'Terms settled'],
      ['arrived', -9, 11, 'mira', 'Pallet arrived'],
      ['measuring', -6, 9, 'jonas', 'Condition report signed'],
    ]),
  };
}
