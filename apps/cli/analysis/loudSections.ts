import type { AnalysisResult, Finding } from '../../../libs/acoustics/analysis.js';
import {
  formatFrequency,
  formatFrequencyRange,
  formatNumber,
  formatQuantity,
} from '../../../libs/figures/formatQuantity.js';
import { filled } from './responseSections.js';
import { paragraph, type Section } from './sheetLayout.js';

type Row = readonly [string, string];

/** Distortion, compression, findings and the equaliser: as far as the data gives them. */
export function loudSections(result: AnalysisResult): (Section | undefined)[] {
  return [loud(result), findings(result), equaliser(result)];
}

function loud(result: AnalysisResult): Section | undefined {
  const { distortion = [], multitone = [], compression, loudestClean = [], subwooferCrossover } = result;
  const limited = loudestClean.filter(({ limitedBy }) => limitedBy !== undefined);
  return filled('Played loud', [
    ...distortion.map(({ levelDb, thdPercent, frequencyHz, above3Percent }): Row => {
      const worst = thdPercent.reduce((best, value, at) => (value > thdPercent[best] ? at : best), 0);
      const peak =
        thdPercent.length === 0
          ? ''
          : `at most ${formatQuantity(thdPercent[worst], '%')} at ${formatFrequency(frequencyHz[worst])}; `;
      return [`Distortion at ${levelDb} dB`, peak + ranges('3 %', above3Percent)];
    }),
    ...multitone.map(({ levelDb, totalPercent, above3Percent }): Row => [
      `Multitone at ${levelDb} dB`,
      `${formatQuantity(totalPercent, '%')} in total; ${ranges('3 %', above3Percent)}`,
    ]),
    compression && ['Compression', `${compressed(compression)} (against ${compression.referenceDb} dB)`],
    limited.length === 0
      ? undefined
      : [
          'Loudest clean level',
          limited
            .map(
              ({ centreHz, levelDb }) =>
                `${formatFrequency(centreHz)} ${levelDb === undefined ? 'none' : `${levelDb} dB`}`,
            )
            .join(', '),
        ],
    subwooferCrossover && [
      'Subwoofer crossover',
      `${formatFrequency(subwooferCrossover.frequencyHz)}. ${subwooferCrossover.arithmetic.join(' ')}`,
    ],
  ]);
}

function ranges(limit: string, above: readonly (readonly [number, number])[]): string {
  if (above.length === 0) return `below ${limit} throughout`;
  return `above ${limit} at ${above.map(([from, to]) => formatFrequencyRange(from, to)).join(', ')}`;
}

function compressed({ above1Db }: NonNullable<AnalysisResult['compression']>): string {
  if (above1Db.length === 0) return 'less than 1 dB throughout';
  return above1Db
    .map(
      ({ levelDb, fromHz, toHz, worstDb }) =>
        `at ${levelDb} dB up to ${formatQuantity(worstDb, 'dB')} in ${formatFrequencyRange(fromHz, toHz)}`,
    )
    .join('; ');
}

function findings({ findings: found = [] }: AnalysisResult): Section | undefined {
  return filled(
    'Findings',
    [],
    found.map((finding) => paragraph(sayFinding(finding))),
  );
}

function sayFinding({ kind, centreHz, levelDb, q, correctable, why }: Finding): string {
  const size = levelDb === undefined ? '' : `, ${formatQuantity(levelDb, 'dB', true)}`;
  const width = q === undefined ? '' : `, Q ${formatNumber(q, 1)}`;
  return `${kind} at ${formatFrequency(centreHz)}${size}${width}${correctable ? ', can be equalised' : ''}: ${why}`;
}

function equaliser({ equaliser: proposal }: AnalysisResult): Section | undefined {
  if (proposal === undefined) return undefined;
  if (proposal.filters.length === 0) {
    return { title: 'Equaliser proposal', rows: [['Filters', 'none: nothing an equaliser should correct']] };
  }
  const { filters, headroomDb, before, after } = proposal;
  return {
    title: 'Equaliser proposal',
    rows: [
      [
        'Filters',
        `${filters.length}, RBJ cookbook biquads; headroom to give up ${formatQuantity(headroomDb, 'dB')}`,
      ],
      [
        'In-room departure',
        `${formatQuantity(before.residualRmsDb, 'dB')} rms before, ${formatQuantity(after.residualRmsDb, 'dB')} after`,
      ],
    ],
    table: [
      ['type', 'frequency', 'gain', 'Q'],
      ...filters.map(({ type, frequencyHz, gainDb, q }) => [
        type,
        formatFrequency(frequencyHz),
        formatQuantity(gainDb, 'dB', true),
        formatNumber(q, 2),
      ]),
    ],
  };
}
