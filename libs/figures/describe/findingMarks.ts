/** Findings as numbered marks on the curves they belong to. */
import type { Finding, FindingKind } from '../../acoustics/analysis.js';
import type { FigureMark, FigureSeries } from '../description.js';
import { formatFrequency, formatNumber, formatQuantity } from '../formatQuantity.js';

export const MARK_NOTE = 'Filled marks: an equaliser can correct it. Rings: it cannot.';

const KIND_WORDS: Readonly<Record<FindingKind, string>> = {
  peak: 'peak',
  dip: 'dip',
  'broad-excess': 'broad excess',
  'broad-deficit': 'broad deficit',
  tilt: 'tilt',
  'bass-limit': 'bass limit',
  'directivity-mismatch': 'directivity mismatch',
  'vertical-null': 'vertical null',
  distortion: 'distortion',
  compression: 'compression',
  'impedance-wrinkle': 'impedance wrinkle',
  'low-impedance': 'low impedance',
  'narrow-coverage': 'narrow coverage',
  'wide-coverage': 'wide coverage',
};

/** The unit of a finding's size; kinds not listed have no size worth printing. */
const SIZE_UNIT: Partial<Record<FindingKind, string>> = {
  peak: 'dB',
  dip: 'dB',
  'broad-excess': 'dB',
  'broad-deficit': 'dB',
  tilt: 'dB',
  'directivity-mismatch': 'dB',
  'vertical-null': 'dB',
  compression: 'dB',
  distortion: '%',
  'low-impedance': 'Ω',
};

const BELOW: readonly FindingKind[] = [
  'dip',
  'broad-deficit',
  'bass-limit',
  'vertical-null',
  'low-impedance',
];

/**
 * Marks for the findings that stand on one of `series`, numbered from `firstNumber` in order of frequency.
 * A finding names its curve by its key or its label; what stands on none of the curves is left out.
 */
export function findingMarks(
  findings: readonly Finding[],
  series: readonly FigureSeries[],
  firstNumber = 1,
): FigureMark[] {
  return findings
    .flatMap((finding) => {
      const on = series.find((one) => isSameName(one, finding.curve));
      return on ? [{ finding, seriesId: on.id }] : [];
    })
    .toSorted((a, b) => a.finding.centreHz - b.finding.centreHz)
    .map(({ finding, seriesId }, index) => makeMark(finding, firstNumber + index, { seriesId }));
}

/** One mark; `place` says on which curve, or at which y, it stands. */
export function makeMark(
  finding: Finding,
  number: number,
  place: { readonly seriesId: string } | { readonly y: number },
): FigureMark {
  return {
    id: `finding-${number}`,
    number,
    ...place,
    atHz: finding.centreHz,
    fromHz: finding.fromHz,
    toHz: finding.toHz,
    side: BELOW.includes(finding.kind) ? 'below' : 'above',
    filled: finding.correctable,
    text: `${inShort(finding)}. ${finding.why}`,
  };
}

function inShort(finding: Finding): string {
  const parts = [formatFrequency(finding.centreHz), KIND_WORDS[finding.kind]];
  const unit = SIZE_UNIT[finding.kind];
  if (unit !== undefined && finding.levelDb !== undefined) {
    parts.push(formatQuantity(finding.levelDb, unit, unit === 'dB'));
  }
  if (finding.q !== undefined) parts.push(`Q ${formatNumber(finding.q, 1)}`);
  return parts.join(', ');
}

function isSameName(series: FigureSeries, curve: string | undefined): boolean {
  if (curve === undefined) return false;
  const wanted = letters(curve);
  return letters(series.id) === wanted || letters(series.label) === wanted;
}

function letters(name: string): string {
  return name.toLowerCase().replaceAll(/[^a-z0-9]/g, '');
}
