/** How loud it plays cleanly, band by band. */
import type { AnalysisResult, LoudestCleanBand } from '../../acoustics/analysis.js';
import type { FigureDescription } from '../description.js';
import { formatQuantity } from '../formatQuantity.js';
import { FREQUENCY_AXIS, HIGHEST_HZ, LEVEL_HEIGHT, LOWEST_HZ, levelAxis } from './axes.js';
import { makeFigure, makePanel, makeSeries, valuesWithin, type FigureContext } from './frame.js';

/** The highest clean level per third-octave band, with what limits it; bands never clean are gaps, and noted. */
export function describeLoudestClean(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const bands = result.loudestClean ?? [];
  const series = makeSeries(
    'loudest-clean',
    'Loudest clean level',
    'Clean',
    { slot: 0, dash: 'solid', emphasis: 'main' },
    bands.map(({ centreHz }) => centreHz),
    bands.map(({ levelDb }) => levelDb),
  );
  const values = valuesWithin([series], LOWEST_HZ, HIGHEST_HZ);
  if (values.length === 0) return undefined;
  const sorted = values.toSorted((a, b) => a - b);
  const highest = sorted.at(-1) ?? 90;
  const y = levelAxis('Level at 1 m', 'dB', sorted[Math.floor(sorted.length / 2)] ?? 90, highest);
  return makeFigure(
    {
      name: 'loudest-clean-level',
      title: 'Loudest clean level',
      panels: [makePanel({ id: 'level', x: FREQUENCY_AXIS, y, height: LEVEL_HEIGHT, series: [series] })],
      notes: [
        'The highest level measured with less than 1 dB compression and less than 3 % distortion in the band: common practice, no source.',
        limits(bands, highest),
      ],
      summary: `Loudest clean level per third-octave band: from ${formatQuantity(sorted[0] ?? highest, 'dB')} to ${formatQuantity(highest, 'dB')}.`,
    },
    context,
  );
}

function limits(bands: readonly LoudestCleanBand[], highestDb: number): string {
  const by = (what: LoudestCleanBand['limitedBy']) =>
    bands.filter(({ levelDb, limitedBy }) => levelDb !== undefined && limitedBy === what).length;
  const never = bands.filter(({ levelDb }) => levelDb === undefined).length;
  const counts = [
    [by('distortion'), 'limited by distortion'],
    [by('compression'), 'limited by compression'],
    [by(undefined), `still clean at the highest level measured, up to ${formatQuantity(highestDb, 'dB')}`],
    [never, 'not clean at any level measured'],
  ] as const;
  const said = counts.filter(([count]) => count > 0).map(([count, words]) => `${count} ${words}`);
  return `Of ${bands.length} bands: ${said.join(', ')}.`;
}
