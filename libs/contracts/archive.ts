/** The archive: every analysed unit by its numbers, its nearest relatives, and units laid over each other. */
import { z } from 'zod';
import { comparedCurves } from './curveNames.js';
import { UnitKind, type Stage } from './names.js';

/** Every number the archive is searched and sorted by, with its words and unit. */
export const archiveNumbers = {
  sensitivityDb: { words: 'Sensitivity', unit: 'dB' },
  f3Hz: { words: 'F3', unit: 'Hz' },
  f6Hz: { words: 'F6', unit: 'Hz' },
  f10Hz: { words: 'F10', unit: 'Hz' },
  onAxisWithinDb: { words: 'On axis within ±', unit: 'dB' },
  listeningWindowWithinDb: { words: 'Listening window within ±', unit: 'dB' },
  inRoomSlopeDbPerOctave: { words: 'In-room slope', unit: 'dB/octave' },
  coverageDeg: { words: 'Coverage to one side', unit: '°' },
  predictedPreference: { words: 'Predicted preference', unit: '' },
  predictedPreferenceIgnoringBass: { words: 'Predicted preference ignoring bass', unit: '' },
  minimumOhm: { words: 'Impedance minimum', unit: 'Ω' },
  ratedOhm: { words: 'Rated impedance', unit: 'Ω' },
  epdrMinimumOhm: { words: 'EPDR minimum', unit: 'Ω' },
} as const;
export type ArchiveNumber = keyof typeof archiveNumbers;
export const archiveNumberNames = Object.keys(archiveNumbers) as ArchiveNumber[];

/** From an address or from a program: both are taken. */
const number = z
  .union(
    [
      z.number(),
      z
        .string()
        .trim()
        .regex(/^[-+]?\d+(\.\d+)?$/),
    ],
    {
      error: 'Give a number such as 60 or 4.5.',
    },
  )
  .transform(Number);
const whole = (least: number, most: number) =>
  number.pipe(z.int(`Give a whole number from ${least} to ${most}.`).min(least).max(most));
/** `a,b` in an address, a list in a program. */
const list = <T extends z.ZodType<string>>(each: T, most: number) =>
  z
    .union([z.array(z.string()), z.string().transform((text) => text.split(','))])
    .pipe(z.array(each).min(1).max(most) as unknown as z.ZodType<z.output<T>[], string[]>);

type Bound = `${ArchiveNumber}Min` | `${ArchiveNumber}Max`;
const bounds = Object.fromEntries(
  archiveNumberNames.flatMap((name) => [
    [`${name}Min`, number.optional().describe(`${archiveNumbers[name].words}: at least`)],
    [`${name}Max`, number.optional().describe(`${archiveNumbers[name].words}: at most`)],
  ]),
) as Record<Bound, z.ZodOptional<typeof number>>;

export const archiveOrders = [...archiveNumberNames, 'name', 'maker', 'measured'] as const;
export type ArchiveOrder = (typeof archiveOrders)[number];

export const ArchiveQuery = z
  .strictObject({
    text: z
      .string()
      .trim()
      .max(200)
      .optional()
      .describe('Words in model, maker, drivers, finish or loan title'),
    kinds: list(UnitKind, 20).optional().describe('Kinds of loudspeaker, comma-separated'),
    makerId: z.uuid().optional(),
    ...bounds,
    sort: z.enum(archiveOrders).default('measured'),
    order: z.enum(['rising', 'falling']).default('falling'),
    page: whole(1, 100_000).default(1),
    pageSize: whole(1, 100).default(25),
  })
  .superRefine((query, context) => {
    for (const name of archiveNumberNames) {
      const [least, most] = [query[`${name}Min`], query[`${name}Max`]];
      if (least === undefined || most === undefined || least <= most) continue;
      const message = `${archiveNumbers[name].words}: at least ${least} and at most ${most} leaves nothing; swap them.`;
      context.addIssue({ code: 'custom', path: [`${name}Min`], message });
    }
  });
export type ArchiveQuery = z.input<typeof ArchiveQuery>;

export interface ArchivedUnitView {
  unitId: string;
  unitName: string;
  kind: UnitKind;
  loanId: string;
  loanTitle: string;
  stage: Stage;
  makerId: string;
  makerName: string;
  priceMinor: number | null;
  currency: string;
  /** Where response, directivity and bass come from; null when only impedance was measured. */
  responseAnalysisId: string | null;
  impedanceAnalysisId: string | null;
  numbers: Record<ArchiveNumber, number | null>;
  algorithmVersion: string;
  /** When the first of its sets with results was begun. */
  measuredAt: string;
  updatedAt: string;
  invented: boolean;
}

export interface ArchivePage {
  rows: ArchivedUnitView[];
  total: number;
  page: number;
  pageSize: number;
  /**
   * Units left out because the reader has neither opened their data nor sealed a session on them, and their review is
   * not out: numbers seen here would end their blindness. Counted without the limits on numbers.
   */
  withheld: number;
}

export const ComparablesQuery = z.strictObject({
  among: z.enum(['earlier', 'all']).default('earlier').describe('earlier: units measured before this one'),
  limit: whole(1, 50).default(8),
});
export type ComparablesQuery = z.input<typeof ComparablesQuery>;

export interface ComparableView extends ArchivedUnitView {
  /** 0: alike. 1: about 1 dB apart in response and directivity, or a third of an octave in bass. */
  distance: number;
  /** RMS difference of the listening windows in third octaves, levels aligned. */
  responseDb: number | null;
  /** RMS difference of the directivity indices in third octaves. */
  directivityDb: number | null;
  /** RMS difference of F3 and F10 in octaves. */
  bassOctaves: number | null;
}
export interface ComparablesView {
  unitId: string;
  /** What both units must have measured to be compared; empty when this unit has nothing to compare by. */
  comparedBy: ('response' | 'directivity' | 'bass')[];
  rows: ComparableView[];
  withheld: number;
}

export { comparedCurves };
export const MOST_COMPARED = 8;
export const ComparisonQuery = z.strictObject({
  units: list(z.uuid('Name units by their ids.').toLowerCase(), MOST_COMPARED).refine(
    (ids) => ids.length >= 2 && new Set(ids).size === ids.length,
    'Name two to eight different units.',
  ),
  curve: z.enum(comparedCurves).default('listeningWindow'),
  alignment: z
    .enum(['as-measured', 'sensitivity'])
    .default('sensitivity')
    .describe('sensitivity: every curve moved so that its unit’s sensitivity lies at 0 dB'),
  size: z.enum(['screen', 'phone', 'print']).default('screen').describe('Of the drawn figure'),
  theme: z.enum(['paper', 'night']).default('paper').describe('Of the drawn figure'),
});
export type ComparisonQuery = z.input<typeof ComparisonQuery>;

/** A query as the part of an address after `?`. */
export function asAddress(query: Readonly<Record<string, unknown>>): string {
  const given = Object.entries(query).filter(([, value]) => value !== undefined && value !== '');
  return new URLSearchParams(
    given.map(([name, value]): [string, string] => [name, String(value)]),
  ).toString();
}
