import type { Distortion, Finding, Multitone } from '../analysis.js';
import { sayHz } from './words/sayHz.js';
import { sayNumber } from './words/sayNumber.js';

/** Zones closer than a third of an octave are one. */
const TOGETHER = 2 ** (1 / 3);

interface Zone {
  readonly fromHz: number;
  readonly toHz: number;
  readonly worstHz: number;
  readonly worstPercent: number;
  readonly levelDb: number;
  readonly signal: 'harmonic' | 'multitone';
}

/**
 * Zones above 3 % (a guide line; common practice, no source) in harmonic and multitone distortion. Zones of one
 * signal that overlap, or nearly, at several levels are one finding: the worst, its sentence naming the lowest level.
 */
export function distortionFindings(
  distortion: readonly Distortion[] = [],
  multitone: readonly Multitone[] = [],
): readonly Finding[] {
  const harmonic = distortion.flatMap(({ levelDb, frequencyHz, thdPercent, above3Percent }) =>
    above3Percent.map((range) => zoneOf(range, frequencyHz, thdPercent, levelDb, 'harmonic')),
  );
  const tones = multitone.flatMap(({ levelDb, frequencyHz, distortionPercent, above3Percent }) =>
    above3Percent.map((range) => zoneOf(range, frequencyHz, distortionPercent, levelDb, 'multitone')),
  );
  return [harmonic, tones].flatMap((zones) => overlapping(zones).map(asFinding));
}

function zoneOf(
  [fromHz, toHz]: readonly [number, number],
  frequencyHz: readonly number[],
  percent: readonly number[],
  levelDb: number,
  signal: Zone['signal'],
): Zone {
  let worst = -1;
  for (let i = 0; i < frequencyHz.length; i++) {
    if (frequencyHz[i] < fromHz || frequencyHz[i] > toHz) continue;
    if (worst < 0 || percent[i] > percent[worst]) worst = i;
  }
  const worstHz = worst < 0 ? Math.sqrt(fromHz * toHz) : frequencyHz[worst];
  return { fromHz, toHz, worstHz, worstPercent: worst < 0 ? 3 : percent[worst], levelDb, signal };
}

/** Groups of zones that touch one another, or nearly, each in rising level. */
function overlapping(zones: readonly Zone[]): readonly (readonly Zone[])[] {
  const groups: Zone[][] = [];
  let endHz = 0;
  for (const zone of zones.toSorted((a, b) => a.fromHz - b.fromHz)) {
    if (groups.length === 0 || zone.fromHz > endHz * TOGETHER) groups.push([]);
    groups[groups.length - 1].push(zone);
    endHz = Math.max(endHz, zone.toHz);
  }
  return groups.map((group) => group.toSorted((a, b) => a.levelDb - b.levelDb));
}

function asFinding(group: readonly Zone[]): Finding {
  const worst = group.reduce((a, b) => (b.worstPercent > a.worstPercent ? b : a));
  const name = worst.signal === 'harmonic' ? 'Harmonic distortion' : 'Multitone distortion';
  const fromHz = Math.min(...group.map((zone) => zone.fromHz));
  const toHz = Math.max(...group.map((zone) => zone.toHz));
  const first = group[0].levelDb;
  const since = first < worst.levelDb ? `; it is over 3 % from ${sayNumber(first)} dB on` : '';
  return {
    kind: 'distortion',
    fromHz,
    toHz,
    centreHz: worst.worstHz,
    levelDb: worst.worstPercent,
    unit: 'percent',
    curve: `${worst.signal} ${sayNumber(worst.levelDb)} dB`,
    correctable: false,
    why:
      `${name} reaches ${sayNumber(worst.worstPercent)} % at ${sayHz(worst.worstHz)} at ${sayNumber(worst.levelDb)} dB ` +
      `and is over the 3 % guide line from ${sayHz(fromHz)} to ${sayHz(toHz)}${since}.`,
  };
}
