import type { DemoCalendar } from '../calendar.js';
import { moves, NOTHING_AGREED, NOTHING_HAPPENED } from '../loanParts.js';
import type { DemoLoan } from '../model.js';

/** Asked for; nothing settled yet. */
export function mural6Loan(calendar: DemoCalendar): DemoLoan {
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'mural-6-loan',
    makerId: 'ostrelle',
    title: 'Mural 6 in-wall',
    stage: 'requested',
    shows: 'terms still open: freight, insured value, embargo, the maker\u2019s comment',
    requestedOn: calendar.day(-4),
    loanDays: 40,
    notes: 'Needs the test wall; ask whether they lend the back box too.',
    units: [
      {
        id: 'mural-6',
        name: 'Mural 6',
        kind: 'inwall',
        ways: 2,
        drivers: '165 mm cone, 25 mm dome on a swivel',
        finish: 'White, paintable',
        serial: '',
        massKg: 3.4,
        priceMinor: 36_000,
        currency: 'EUR',
        ratedOhm: 8,
        ratedPowerW: 80,
        ratedSensitivityDb: 88,
        symmetricCabinet: true,
        planted: [],
        sets: [],
      },
    ],
    moves: moves(calendar, [['requested', -4, 9, 'jonas', 'First in-wall for the archive']]),
  };
}
