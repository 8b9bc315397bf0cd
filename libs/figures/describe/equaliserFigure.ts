/** The proposed equaliser, before and after. */
import type { AnalysisResult, BiquadFilter, Equaliser, EqualiserState } from '../../acoustics/analysis.js';
import type { FigureDescription, FigureSeries } from '../description.js';
import { formatFrequency, formatNumber, formatQuantity } from '../formatQuantity.js';
import { DEPARTURE_HEIGHT, FREQUENCY_AXIS, HIGHEST_HZ, LOWEST_HZ, holdingAxis } from './axes.js';
import { CURVE_LOOKS } from './curveLooks.js';
import { levelPanel } from './curvePanels.js';
import { makeFigure, makePanel, makeSeries, valuesWithin, type FigureContext } from './frame.js';

type StateCurve = 'onAxis' | 'listeningWindow' | 'estimatedInRoom';
const CURVES: readonly StateCurve[] = ['onAxis', 'listeningWindow', 'estimatedInRoom'];
const TYPE_WORDS: Readonly<Record<BiquadFilter['type'], string>> = {
  peaking: 'peaking',
  'low-shelf': 'low shelf',
  'high-shelf': 'high shelf',
};

/** The curves before (faint) and after (full), the correction itself beneath, the filters listed. */
export function describeEqualiser(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const { equaliser } = result;
  if (!equaliser || equaliser.filters.length === 0) return undefined;
  const frequencyHz = result.frequencyHz ?? [];
  const pairs = CURVES.flatMap((name) => pairOf(name, frequencyHz, equaliser));
  const correction = correctionOf(frequencyHz, equaliser);
  if (pairs.length === 0 || !correction) return undefined;
  const values = valuesWithin([correction], LOWEST_HZ, HIGHEST_HZ);
  const y = holdingAxis('Correction', 'dB', values, { floor: -3, ceiling: 3, step: 1, limit: 24 });
  const panels = [
    levelPanel(result, pairs),
    makePanel({
      id: 'correction',
      x: FREQUENCY_AXIS,
      y,
      height: DEPARTURE_HEIGHT,
      series: [correction],
    }),
  ];
  const before = formatQuantity(equaliser.before.residualRmsDb, 'dB');
  const after = formatQuantity(equaliser.after.residualRmsDb, 'dB');
  const effect = `Departure from the trend: ${before} RMS before, ${after} after. Headroom to give up: ${formatQuantity(equaliser.headroomDb, 'dB')}.`;
  return makeFigure(
    {
      name: 'equaliser',
      title: 'Equaliser, before and after',
      panels,
      notes: [
        effect,
        `Filters at ${formatNumber(equaliser.sampleRateHz / 1000, 1)} kHz sampling: ${equaliser.filters.map(inWords).join('; ')}.`,
        'The correction is drawn five times as tall as the responses.',
      ],
      summary: `${equaliser.filters.length} filters proposed. ${effect}`,
    },
    context,
  );
}

function pairOf(name: StateCurve, frequencyHz: readonly number[], equaliser: Equaliser): FigureSeries[] {
  const before = equaliser.before[name];
  const after = equaliser.after[name];
  if (!before || !after) return [];
  const { label, shortLabel, slot } = CURVE_LOOKS[name];
  return [
    makeSeries(
      `${name}-before`,
      `${label}, before`,
      `${shortLabel} 1`,
      { slot, dash: 'dots', emphasis: 'faint' },
      frequencyHz,
      before,
    ),
    makeSeries(
      `${name}-after`,
      `${label}, after`,
      `${shortLabel} 2`,
      { slot, dash: 'solid', emphasis: 'main' },
      frequencyHz,
      after,
    ),
  ];
}

/** An equaliser acts alike on every curve, so after minus before of any one is its response. */
function correctionOf(frequencyHz: readonly number[], equaliser: Equaliser): FigureSeries | undefined {
  const name = CURVES.find((curve) => hasCurve(equaliser.before, curve) && hasCurve(equaliser.after, curve));
  if (name === undefined) return undefined;
  const after = equaliser.after[name] ?? [];
  const before = equaliser.before[name] ?? [];
  const change = frequencyHz.map((_, index) => (after[index] ?? NaN) - (before[index] ?? NaN));
  return makeSeries(
    'correction',
    'Correction',
    'EQ',
    { slot: 3, dash: 'solid', emphasis: 'main' },
    frequencyHz,
    change,
  );
}

function hasCurve(state: EqualiserState, name: StateCurve): boolean {
  return state[name] !== undefined;
}

function inWords(filter: BiquadFilter): string {
  const gain = formatQuantity(filter.gainDb, 'dB', true);
  return `${TYPE_WORDS[filter.type]} ${formatFrequency(filter.frequencyHz)} ${gain} Q ${formatNumber(filter.q, 2)}`;
}
