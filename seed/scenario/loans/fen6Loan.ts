import type { DemoCalendar } from '../calendar.js';
import { expected, moves, NOTHING_AGREED, NOTHING_HAPPENED } from '../loanParts.js';
import type { DemoLoan } from '../model.js';

/** On its way. */
export function fen6Loan(calendar: DemoCalendar): DemoLoan {
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'fen-6-loan',
    makerId: 'brindlewick',
    title: 'Fen 6 floor-stander',
    stage: 'agreed',
    shows: 'a crate expected this week',
    requestedOn: calendar.day(-17),
    arrivalFrom: calendar.workday(2),
    arrivalTo: calendar.workday(4),
    returnBy: calendar.workday(52),
    loanDays: 45,
    embargoUntil: calendar.at(40, 9),
    freightPayer: 'maker',
    insuredValueMinor: 220_000,
    makerCommentAgreed: true,
    carrier: 'Maker\u2019s own van',
    units: [
      {
        id: 'fen-6',
        name: 'Fen 6',
        kind: 'floorstander',
        ways: 2,
        drivers: 'two 165 mm paper cones, 25 mm metal dome, rear vent',
        finish: 'Oiled oak',
        serial: '',
        massKg: 21,
        priceMinor: 120_000,
        currency: 'EUR',
        ratedOhm: 4,
        ratedPowerW: 150,
        ratedSensitivityDb: 88,
        symmetricCabinet: true,
        planted: [],
        sets: [],
      },
    ],
    accessories: expected([
      ['Grille', 1],
      ['Spikes', 4],
      ['Carton', 1, 'packaging'],
      ['Foam ends', 2, 'packaging'],
    ]),
    moves: moves(calendar, [
      ['requested', -17, 9, 'mira', 'Asked after the Fen 8 had gone well'],
      ['agreed', -10, 14, 'mira', 'Terms settled by e-mail'],
    ]),
  };
}
