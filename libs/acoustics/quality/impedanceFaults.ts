import { isPhysicalImpedance } from '../impedance/isPhysicalImpedance.js';
import type { ImpedanceSeries, QualityFinding } from '../series.js';
import type { QualityContext } from './qualityContext.js';

const BAND_HZ = [20, 20_000] as const;
/** No loudspeaker's coil has less. */
const LEAST_OHM = 0.5;
const MOST_OHM = 2000;

/** Impedance readings no passive loudspeaker can have, and ratings the unit does not meet. */
export function impedanceFaults({ set }: QualityContext): QualityFinding[] {
  return [
    ...set.impedance.flatMap((series) => [...unphysical(series), ...implausible(series)]),
    ...severalFiles(set.impedance),
    ...(set.impedance.length > 0 ? belowRating(set.impedance[0], set.conditions.ratedOhm) : []),
  ];
}

function unphysical(series: ImpedanceSeries): QualityFinding[] {
  const { frequencyHz, magnitudeOhm, phaseDeg } = series;
  const bad = inBand(series).filter((at) => !isPhysicalImpedance(magnitudeOhm[at], phaseDeg?.[at]));
  if (bad.length === 0) return [];
  const [first] = bad;
  const reading = `${magnitudeOhm[first].toFixed(1)} ohm${phaseDeg ? ` at ${phaseDeg[first].toFixed(0)}°` : ''}`;
  return [
    {
      severity: 'blocking',
      code: 'impedance-unphysical',
      message: `${bad.length} impedance ${bad.length === 1 ? 'reading is' : 'readings are'} impossible for a loudspeaker (first ${reading}, ${Math.round(frequencyHz[first])} Hz): |Z| must be positive and the phase within ±90°. Check the leads' polarity and the calibration resistor, and measure the impedance again.`,
      file: series.source.file,
      evidence: evidence(series),
    },
  ];
}

function implausible(series: ImpedanceSeries): QualityFinding[] {
  const readings = inBand(series)
    .map((at) => series.magnitudeOhm[at])
    .filter((ohm) => ohm > 0);
  const lowest = Math.min(...readings);
  const highest = Math.max(...readings);
  if (readings.length === 0 || (lowest >= LEAST_OHM && highest <= MOST_OHM)) return [];
  const value = lowest < LEAST_OHM ? lowest : highest;
  return [
    {
      severity: 'check',
      code: 'impedance-implausible',
      message: `|Z| reaches ${value < 1 ? value.toFixed(3) : value.toFixed(0)} ohm, which hardly any loudspeaker has. Check the unit of the column and the calibration.`,
      file: series.source.file,
      evidence: evidence(series),
    },
  ];
}

function severalFiles(all: readonly ImpedanceSeries[]): QualityFinding[] {
  if (all.length < 2) return [];
  const files = all.map(({ source }) => source.file).join(', ');
  return [
    {
      severity: 'check',
      code: 'duplicate-impedance',
      message: `There are ${all.length} impedance measurements (${files}); the first is used.`,
      file: all[1].source.file,
    },
  ];
}

function belowRating(series: ImpedanceSeries, ratedOhm: number | undefined): QualityFinding[] {
  if (ratedOhm === undefined) return [];
  const lowest = Math.min(
    ...inBand(series)
      .map((at) => series.magnitudeOhm[at])
      .filter((ohm) => ohm > 0),
  );
  if (lowest >= 0.8 * ratedOhm) return [];
  return [
    {
      severity: 'note',
      code: 'rated-impedance-not-met',
      message: `|Z| falls to ${lowest.toFixed(1)} ohm; IEC 60268-5 allows no less than ${(0.8 * ratedOhm).toFixed(1)} ohm for the ${ratedOhm} ohm the maker states.`,
      file: series.source.file,
    },
  ];
}

function inBand({ frequencyHz }: ImpedanceSeries): number[] {
  return Array.from(frequencyHz).flatMap((hz, at) => (hz >= BAND_HZ[0] && hz <= BAND_HZ[1] ? [at] : []));
}

function evidence({ frequencyHz, magnitudeOhm }: ImpedanceSeries): NonNullable<QualityFinding['evidence']> {
  // A few hundred points draw it; a spectrum may have many thousands.
  const stride = Math.max(1, Math.ceil(frequencyHz.length / 600));
  const keep = (_: number, at: number): boolean => at % stride === 0 && frequencyHz[at] > 0;
  return {
    title: 'Impedance as measured',
    unit: 'ohm',
    frequencyHz: Array.from(frequencyHz.filter(keep)),
    curves: [{ label: '|Z|', values: Array.from(magnitudeOhm.filter(keep)) }],
  };
}
