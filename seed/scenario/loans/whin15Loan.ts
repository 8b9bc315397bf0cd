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

/**
 * The one that will be late: due back in a few days by slow freight, with half of its measurements and all of
 * its listening still to do.
 */
export function whin15Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'TH-W15-00031';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'whin-15-loan',
    makerId: 'tarnhollow',
    title: 'Whin 15 horn',
    stage: 'measuring',
    shows: 'a unit that will go back late unless the maker extends the loan',
    requestedOn: calendar.day(-38),
    arrivalFrom: calendar.workday(-20),
    arrivalTo: calendar.workday(-18),
    arrivedOn: calendar.day(-8),
    returnBy: calendar.workday(5),
    loanDays: 25,
    embargoUntil: null,
    freightPayer: 'shared',
    freightDays: 4,
    insuredValueMinor: 520_000,
    makerCommentAgreed: true,
    carrier: 'Pallet freight',
    notes: 'The crate came ten days after the window; the return date did not move. Promised to a dealer.',
    units: [
      {
        id: 'whin-15',
        name: 'Whin 15',
        kind: 'floorstander',
        ways: 2,
        drivers: '380 mm paper cone, compression driver on a horn, front vent',
        finish: 'Oiled oak',
        serial,
        massKg: 46,
        priceMinor: 260_000,
        currency: 'EUR',
        ratedOhm: 6,
        ratedPowerW: 300,
        ratedSensitivityDb: 93,
        symmetricCabinet: true,
        planted: plantedIn('whin-15'),
        sets: [
          measured(calendar, {
            name: 'Horizontal orbit and impedance',
            unit: { serial },
            designId: 'whin-15',
            dayOffset: -1,
            by: 'jonas',
            parts: ['horizontal', 'impedance'],
          }),
        ],
      },
    ],
    accessories: arrived([
      ['Grille', 1],
      ['Spikes', 4],
      ['Pallet collar', 2, 'packaging'],
      ['Straps', 4, 'packaging'],
    ]),
    reports: [
      report(calendar, {
        unitId: 'whin-15',
        condition: 'Good. Horn lip clean, cone without dents.',
        serialSeen: serial,
        by: 'jonas',
        dayOffset: -8,
        photographs: arrivalPhotographs('whin-15', 'oak', 4),
      }),
    ],
    moves: moves(calendar, [
      ['requested', -38, 9, 'mira', 'Something large for a change'],
      ['agreed', -30, 14, 'mira', 'Terms settled; short loan'],
      ['arrived', -8, 11, 'jonas', 'Ten days late: held at a depot'],
      ['measuring', -4, 9, 'jonas', 'Condition report signed'],
    ]),
  };
}
