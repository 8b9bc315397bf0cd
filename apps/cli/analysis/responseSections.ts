import type { AnalysisResult, Curves } from '../../../libs/acoustics/analysis.js';
import {
  formatFrequency,
  formatFrequencyRange,
  formatNumber,
  formatQuantity,
} from '../../../libs/figures/formatQuantity.js';
import type { Section } from './sheetLayout.js';

type Row = readonly [string, string];

/** Response, levels by octave, directivity, impedance: as far as the data gives them. */
export function responseSections(result: AnalysisResult): (Section | undefined)[] {
  return [response(result), octaves(result), directivity(result), impedance(result)];
}

/** A section when it has anything to say. */
export function filled(
  title: string,
  rows: readonly (Row | undefined)[],
  text?: readonly string[],
): Section | undefined {
  const said = rows.filter((row) => row !== undefined);
  if (said.length === 0 && (text ?? []).length === 0) return undefined;
  return { title, rows: said, ...(text === undefined ? {} : { text }) };
}

function response(result: AnalysisResult): Section | undefined {
  const { sensitivity, bass, flatness, inRoomTrend, predictedPreference: preference } = result;
  const limits =
    bass &&
    (
      [
        ['F3', bass.f3Hz],
        ['F6', bass.f6Hz],
        ['F10', bass.f10Hz],
      ] as const
    ).filter(([, hz]) => hz !== undefined);
  const slope = bass?.slopeDbPerOctave;
  return filled('Response', [
    sensitivity && [
      'Sensitivity',
      `${formatQuantity(sensitivity.db, 'dB')} at 2.83 V and 1 m, mean of ${formatFrequencyRange(...sensitivity.bandHz)}`,
    ],
    limits && limits.length > 0
      ? [
          'Bass limits',
          `${limits.map(([name, hz]) => `${name} ${formatFrequency(hz!)}`).join(', ')}${slope === undefined ? '' : `; ${formatQuantity(slope, 'dB/octave')} below`}`,
        ]
      : undefined,
    within('On axis', flatness?.onAxisWithinDb, result),
    within('Listening window', flatness?.listeningWindowWithinDb, result),
    inRoomTrend && [
      'In-room trend',
      `${formatQuantity(inRoomTrend.slopeDbPerOctave, 'dB/octave', true)}, ${formatFrequencyRange(inRoomTrend.fromHz, inRoomTrend.toHz)}; ` +
        `${formatQuantity(inRoomTrend.residualRmsDb, 'dB')} rms about the line`,
    ],
    preference && [
      'Predicted preference',
      `${formatNumber(preference.rating, 1)}, ignoring bass ${formatNumber(preference.ratingIgnoringBass, 1)} ` +
        '(Olive 2004, an estimate with r = 0.86 and no verdict)',
    ],
  ]);
}

function within(label: string, db: number | undefined, { flatness }: AnalysisResult): Row | undefined {
  if (db === undefined || flatness === undefined) return undefined;
  return [label, `\u00b1${formatQuantity(db, 'dB')}, ${formatFrequencyRange(...flatness.bandHz)}`];
}

const COLUMNS: readonly (readonly [keyof Curves, string])[] = [
  ['onAxis', 'on axis'],
  ['listeningWindow', 'window'],
  ['earlyReflections', 'early refl.'],
  ['soundPower', 'power'],
  ['earlyReflectionsDirectivityIndex', 'ERDI'],
  ['soundPowerDirectivityIndex', 'SPDI'],
  ['estimatedInRoom', 'in-room'],
];
/** Nominal octave centres (IEC 61260-1); the exact ones are 1000 x 10^(0.3 k). */
const OCTAVES = [
  '31.5 Hz',
  '63 Hz',
  '125 Hz',
  '250 Hz',
  '500 Hz',
  '1 kHz',
  '2 kHz',
  '4 kHz',
  '8 kHz',
  '16 kHz',
].map((name, at) => ({ name, hz: 1000 * 10 ** (0.3 * (at - 5)) }));

function octaves({ frequencyHz, curves }: AnalysisResult): Section | undefined {
  if (frequencyHz === undefined || curves === undefined) return undefined;
  const columns = COLUMNS.filter(([name]) => curves[name] !== undefined);
  const covered = OCTAVES.filter(
    ({ hz }) => hz >= frequencyHz[0] && hz <= frequencyHz[frequencyHz.length - 1],
  );
  const rows = covered.map(({ name, hz }) => {
    const at = nearest(frequencyHz, hz);
    return [name, ...columns.map(([curve]) => curves[curve]![at].toFixed(1))];
  });
  if (rows.length === 0 || columns.length === 0) return undefined;
  return {
    title: 'Levels at octave centres, dB',
    rows: [],
    table: [['', ...columns.map(([, label]) => label)], ...rows],
  };
}

function nearest(frequencyHz: readonly number[], hz: number): number {
  const above = frequencyHz.findIndex((other) => other >= hz);
  if (above <= 0) return Math.max(above, 0);
  return hz / frequencyHz[above - 1] < frequencyHz[above] / hz ? above - 1 : above;
}

/** A common seat, only to turn degrees into room. */
const SEAT_M = 3;

function directivity({ horizontal, vertical }: AnalysisResult): Section | undefined {
  const width = horizontal?.summaryDeg;
  const aside = width !== undefined && width < 85 ? SEAT_M * Math.tan((width * Math.PI) / 180) : undefined;
  const nulls = (vertical?.nulls ?? []).toSorted((a, b) => b.depthDb - a.depthDb).slice(0, 4);
  const window = vertical?.usableWindowDeg;
  return filled('Directivity', [
    width === undefined
      ? undefined
      : [
          'Horizontal coverage',
          `\u00b1${formatQuantity(width, '\u00b0')} to -6 dB, 1\u201310 kHz` +
            (aside === undefined ? '' : `: ${formatQuantity(aside, 'm')} to each side at ${SEAT_M} m`),
        ],
    window && [
      'Vertical window',
      `${formatQuantity(window.up, '\u00b0')} up, ${formatQuantity(window.down, '\u00b0')} down: ears from ` +
        `${cm(-window.down)} to ${cm(window.up)} cm about the axis at ${SEAT_M} m`,
    ],
    ...nulls.map((hole, at): Row => [
      at === 0 ? 'Vertical nulls' : '',
      `${formatFrequency(hole.frequencyHz)} at ${formatQuantity(hole.angleDeg, '\u00b0', true)}, ${formatQuantity(hole.depthDb, 'dB')} deep`,
    ]),
  ]);
}

function cm(angleDeg: number): string {
  return formatNumber(100 * SEAT_M * Math.tan((angleDeg * Math.PI) / 180), 0, true);
}

function impedance({ impedance: z }: AnalysisResult): Section | undefined {
  if (z === undefined) return undefined;
  const phase =
    z.phaseAtMinimumDeg === undefined ? '' : `, phase ${formatQuantity(z.phaseAtMinimumDeg, '\u00b0', true)}`;
  const wrinkles = z.wrinkles.toSorted((a, b) => b.strength - a.strength).slice(0, 5);
  return filled('Impedance', [
    ['Minimum', `${formatQuantity(z.minimumOhm, '\u2126')} at ${formatFrequency(z.minimumHz)}${phase}`],
    ['Rated (IEC 60268-5)', formatQuantity(z.ratedOhm, '\u2126')],
    z.epdrMinimumOhm === undefined || z.epdrMinimumHz === undefined
      ? undefined
      : [
          'Hardest load (EPDR)',
          `${formatQuantity(z.epdrMinimumOhm, '\u2126')} at ${formatFrequency(z.epdrMinimumHz)}`,
        ],
    wrinkles.length === 0
      ? undefined
      : ['Wrinkles', wrinkles.map(({ frequencyHz }) => formatFrequency(frequencyHz)).join(', ')],
    ['Amplifier', z.amplifierAdvice],
  ]);
}
