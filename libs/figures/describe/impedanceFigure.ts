/** Impedance, phase and the load an amplifier feels. */
import type { AnalysisResult, Impedance } from '../../acoustics/analysis.js';
import type { FigureDescription, FigurePanel } from '../description.js';
import { formatFrequency, formatQuantity } from '../formatQuantity.js';
import { FREQUENCY_AXIS, HIGHEST_HZ, LOWEST_HZ, linearAxis, logAxis } from './axes.js';
import { makeMark } from './findingMarks.js';
import { makeFigure, makePanel, makeSeries, valuesWithin, type FigureContext } from './frame.js';

/** |Z| and EPDR on a logarithmic ohm axis, phase beneath. */
export function describeImpedance(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const impedance = result.impedance;
  if (!impedance || impedance.frequencyHz.length === 0) return undefined;
  const panels = [ohmPanel(impedance, result), ...(impedance.phaseDeg ? [phasePanel(impedance)] : [])];
  const minimum = `Minimum ${formatQuantity(impedance.minimumOhm, 'Ω')} at ${formatFrequency(impedance.minimumHz)}`;
  const epdr =
    impedance.epdrMinimumOhm !== undefined && impedance.epdrMinimumHz !== undefined
      ? `; lowest EPDR ${formatQuantity(impedance.epdrMinimumOhm, 'Ω')} at ${formatFrequency(impedance.epdrMinimumHz)}`
      : '';
  const rated = `. IEC 60268-5 allows it to be rated ${formatQuantity(impedance.ratedOhm, 'Ω')}.`;
  const sentence = `${minimum}${epdr}${rated}`;
  const meaning = impedance.epdrOhm
    ? ['EPDR: the resistor that would heat a class-B output stage as much.']
    : [];
  return makeFigure(
    {
      name: 'impedance',
      title: 'Impedance and phase',
      panels,
      notes: [sentence, ...meaning],
      summary: `Impedance${impedance.phaseDeg ? ' and phase' : ''} against frequency. ${sentence}`,
    },
    context,
  );
}

function ohmPanel(impedance: Impedance, result: AnalysisResult): FigurePanel {
  const { frequencyHz, magnitudeOhm, epdrOhm } = impedance;
  const series = [
    makeSeries(
      'impedance',
      'Impedance',
      '|Z|',
      { slot: 0, dash: 'solid', emphasis: 'main' },
      frequencyHz,
      magnitudeOhm,
    ),
    ...(epdrOhm ? [makeSeries('epdr', 'EPDR', 'EPDR', { slot: 2, dash: 'long' }, frequencyHz, epdrOhm)] : []),
  ];
  const usable = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ).filter((ohm) => ohm > 0);
  const lowest = usable.reduce((a, b) => Math.min(a, b), 2);
  const highest = usable.reduce((a, b) => Math.max(a, b), 20);
  const marks = (result.findings ?? [])
    .filter(({ kind }) => kind === 'impedance-wrinkle' || kind === 'low-impedance')
    .toSorted((a, b) => a.centreHz - b.centreHz)
    .map((finding, index) => makeMark(finding, index + 1, { seriesId: 'impedance' }));
  const y = logAxis('Impedance', 'Ω', Math.max(lowest, 0.1), Math.min(highest, 1000));
  return makePanel({
    id: 'ohm',
    x: FREQUENCY_AXIS,
    y,
    height: { kind: 'share', ofWidth: 0.38 },
    series,
    marks,
  });
}

function phasePanel(impedance: Impedance): FigurePanel {
  const look = { slot: 1, dash: 'short' } as const;
  const series = [
    makeSeries('phase', 'Phase', 'Phase', look, impedance.frequencyHz, impedance.phaseDeg ?? []),
  ];
  const widest = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ).reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  const limit = widest > 90 ? 180 : 90;
  const y = linearAxis('Phase of impedance', '°', -limit, limit, limit / 2);
  return makePanel({ id: 'phase', x: FREQUENCY_AXIS, y, height: { kind: 'share', ofWidth: 0.18 }, series });
}
