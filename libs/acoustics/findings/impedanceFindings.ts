import type { Finding, Impedance } from '../analysis.js';
import { sayHz } from './words/sayHz.js';
import { sayNumber } from './words/sayNumber.js';

/** IEC 60268-5 lets a 4 ohm rating fall no lower than 80 % of it. */
const LEAST_OHM = 3.2;
/** A load this heavy for the output stage is worth saying; common practice, no source. */
const LEAST_EPDR_OHM = 2;
const HALF_WIDTH_OCTAVES = 1 / 6;
const MOST_WRINKLES = 6;
const SAME_OCTAVES = 1 / 6;

/**
 * A load that is hard to drive, and wrinkles in the impedance, the strongest six. A wrinkle that coincides with
 * one of `others` (peaks and dips of the response) says so: two signs of one resonance.
 */
export function impedanceFindings(
  impedance: Impedance | undefined,
  others: readonly Finding[],
): readonly Finding[] {
  if (!impedance) return [];
  const wrinkles = impedance.wrinkles
    .toSorted((a, b) => b.strength - a.strength)
    .slice(0, MOST_WRINKLES)
    .map(({ frequencyHz, strength }) => wrinkle(frequencyHz, strength, others));
  return [...lowImpedance(impedance), ...wrinkles.toSorted((a, b) => a.centreHz - b.centreHz)];
}

function lowImpedance(impedance: Impedance): readonly Finding[] {
  const { minimumOhm, minimumHz, epdrMinimumOhm, epdrMinimumHz } = impedance;
  const isLow = minimumOhm < LEAST_OHM;
  const isHeavy =
    epdrMinimumOhm !== undefined && epdrMinimumHz !== undefined && epdrMinimumOhm < LEAST_EPDR_OHM;
  if (!isLow && !isHeavy) return [];
  const centreHz = isLow ? minimumHz : (epdrMinimumHz ?? minimumHz);
  const heavy = isHeavy
    ? `, and current and phase together load the amplifier like ${sayNumber(epdrMinimumOhm)} ohm at ${sayHz(epdrMinimumHz)}`
    : '';
  return [
    {
      kind: 'low-impedance',
      ...rangeBelow(impedance, isLow ? LEAST_OHM : minimumOhm * 1.1, centreHz),
      centreHz,
      levelDb: isLow ? minimumOhm : (epdrMinimumOhm ?? minimumOhm),
      unit: 'ohm',
      curve: 'impedance',
      correctable: false,
      why: `The impedance falls to ${sayNumber(minimumOhm)} ohm at ${sayHz(minimumHz)}${heavy}: it wants an amplifier at ease with low loads.`,
    },
  ];
}

/** The stretch about `centreHz` where |Z| stays under `ohm`, at least a third of an octave. */
function rangeBelow(
  { frequencyHz, magnitudeOhm }: Impedance,
  ohm: number,
  centreHz: number,
): { readonly fromHz: number; readonly toHz: number } {
  const at = frequencyHz.findIndex((hz) => hz >= centreHz);
  let from = Math.max(0, at);
  let to = from;
  while (from > 0 && magnitudeOhm[from - 1] < ohm) from--;
  while (to + 1 < frequencyHz.length && magnitudeOhm[to + 1] < ohm) to++;
  return {
    fromHz: Math.min(frequencyHz[from] ?? centreHz, centreHz / 2 ** HALF_WIDTH_OCTAVES),
    toHz: Math.max(frequencyHz[to] ?? centreHz, centreHz * 2 ** HALF_WIDTH_OCTAVES),
  };
}

function wrinkle(frequencyHz: number, strengthPercent: number, others: readonly Finding[]): Finding {
  const twin = others.find(
    ({ kind, centreHz }) =>
      (kind === 'peak' || kind === 'dip') && Math.abs(Math.log2(centreHz / frequencyHz)) < SAME_OCTAVES,
  );
  const shared = twin
    ? `; the response has a ${twin.kind} at ${sayHz(twin.centreHz)}, likely the same resonance`
    : ', as a resonance of the cabinet, the port or a driver makes';
  return {
    kind: 'impedance-wrinkle',
    fromHz: frequencyHz / 2 ** HALF_WIDTH_OCTAVES,
    toHz: frequencyHz * 2 ** HALF_WIDTH_OCTAVES,
    centreHz: frequencyHz,
    levelDb: strengthPercent,
    unit: 'percent',
    curve: 'impedance',
    correctable: false,
    why: `The impedance has a wrinkle of ${sayNumber(strengthPercent)} % at ${sayHz(frequencyHz)}${shared}.`,
  };
}
