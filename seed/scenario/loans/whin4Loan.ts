import type { DemoCalendar } from '../calendar.js';
import {
  arrivalPhotographs,
  arrived,
  measured,
  moves,
  NOTHING_AGREED,
  NOTHING_HAPPENED,
  packedAgain,
  plantedIn,
  report,
  session,
} from '../loanParts.js';
import type { DemoLoan } from '../model.js';

/** Packed and with the carrier; the maker has still to say it arrived. */
export function whin4Loan(calendar: DemoCalendar): DemoLoan {
  const serial = 'TH-W4-02750';
  return {
    ...NOTHING_AGREED,
    ...NOTHING_HAPPENED,
    id: 'whin-4-loan',
    makerId: 'tarnhollow',
    title: 'Whin 4 active',
    stage: 'returning',
    shows: 'a crate on its way home, delivery not yet confirmed',
    requestedOn: calendar.day(-80),
    arrivalFrom: calendar.workday(-63),
    arrivalTo: calendar.workday(-60),
    arrivedOn: calendar.day(-62),
    returnBy: calendar.workday(1),
    loanDays: 60,
    freightPayer: 'team',
    insuredValueMinor: 160_000,
    makerCommentAgreed: true,
    carrier: 'Parcel service',
    publishedUrl: 'https://twochairroom.example/reviews/whin-4',
    returnCarrier: 'Parcel service',
    returnTracking: 'INVENTED-7731-0042',
    units: [
      {
        id: 'whin-4',
        name: 'Whin 4',
        kind: 'active',
        ways: 2,
        drivers: '130 mm long-throw cone, 25 mm dome in a waveguide, front vent, two amplifiers',
        finish: 'Black ash',
        serial,
        massKg: 7.9,
        priceMinor: 79_000,
        currency: 'EUR',
        ratedOhm: null,
        ratedPowerW: 120,
        ratedSensitivityDb: null,
        symmetricCabinet: true,
        planted: plantedIn('whin-4'),
        sets: [
          measured(calendar, {
            name: 'Both orbits, sweeps and levels',
            unit: { serial },
            designId: 'whin-4',
            dayOffset: -50,
            by: 'jonas',
          }),
        ],
      },
    ],
    accessories: packedAgain(
      arrived([
        ['Mains lead', 1],
        ['Rubber mat', 1],
        ['Carton', 1, 'packaging'],
        ['Foam ends', 2, 'packaging'],
      ]),
    ),
    reports: [
      report(calendar, {
        unitId: 'whin-4',
        condition: 'As new.',
        serialSeen: serial,
        by: 'jonas',
        dayOffset: -62,
        photographs: arrivalPhotographs('whin-4', 'black'),
      }),
      report(calendar, {
        moment: 'return',
        unitId: 'whin-4',
        condition: 'As it came, all parts in the carton.',
        serialSeen: serial,
        by: 'mira',
        dayOffset: -2,
        photographs: [
          {
            name: 'packed.png',
            caption: 'Carton closed (drawing, invented)',
            subject: { view: 'crate', marks: 1 },
          },
        ],
      }),
    ],
    listening: [
      session(calendar, {
        unitId: 'whin-4',
        by: 'jonas',
        dayOffset: -45,
        placement: 'Desk stands, 30 cm from the wall, toed in 25 degrees, 1.1 m',
        levelDb: 79,
        remarks: [
          ['Trumpets and raised voices bark', 'excess', 2500, 3900, 4, 'shouty'],
          ['Same from the side, so not the aim', 'excess', 2600, 3800, 3, 'harsh', '30 degrees off the axis'],
          ['Tight down to bass guitar, then nothing', 'lack', 25, 52, 2, 'weak bass'],
        ],
      }),
    ],
    verdict: {
      text: 'Nearly a tool for work; one filter at 3 kHz would make it so.',
      pros: ['Even coverage', 'Low distortion for its size'],
      cons: [
        {
          text: 'Hard upper middle',
          evidence: 'Peak of about 3 dB at 3.1 kHz in every curve, correctable by equalisation',
        },
      ],
      by: 'jonas',
      at: calendar.at(-30, 15),
      signOffs: [{ by: 'mira', decision: 'approve', note: '', at: calendar.at(-28, 10) }],
    },
    moves: moves(calendar, [
      ['requested', -80, 9, 'mira', 'Recommended by a reader'],
      ['agreed', -71, 14, 'mira', 'Terms settled, we pay freight'],
      ['arrived', -62, 11, 'jonas', 'Parcel arrived'],
      ['measuring', -60, 9, 'jonas', 'Condition report signed'],
      ['listening', -49, 10, 'jonas', 'Data complete'],
      ['drafting', -44, 18, 'jonas', 'One sealed session'],
      ['published', -20, 10, 'mira', 'No embargo'],
      ['returning', -2, 16, 'mira', 'Packed, carrier booked'],
    ]),
  };
}
