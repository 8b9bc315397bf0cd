import { angleAt } from '../orbits/angleAt.js';
import { bandMean } from '../response/bandMean.js';
import { fitLine } from '../response/fitLine.js';
import type { QualityFinding } from '../series.js';
import { levelEvidence } from './levelEvidence.js';
import type { QualityContext } from './qualityContext.js';

/** Data that starts higher makes no claim about the bass. */
const CLAIMS_BASS_BELOW_HZ = 100;
/**
 * Any box rolls off at 12 dB per octave in the end, an open baffle at 6 and then more: a response that has
 * fallen so far without reaching such a slope was not left to fall.
 */
const PLATEAU_SLOPE = 3;
const DEEP_DB = 8;
const DEEP_SLOPE = 5.5;
const ROLLED_OFF_DB = 3;
/** Hardly a loudspeaker is flat to here; a response cut off after a few milliseconds always is. */
const FLAT_TO_HZ = 30;
/** A truncated impulse response leaves a plateau well above this; noise lies below. */
const NOISE_BELOW_DB = 20;

/**
 * A response that never rolls off, or starts to and then levels out or rises again towards the lowest
 * frequencies. No box does that: the window on the impulse response was too short for the bass, or noise took
 * over.
 */
export function bassPlateau({ directivity }: QualityContext): QualityFinding[] {
  const axis = directivity && angleAt(directivity, 'horizontal', 0);
  if (directivity === undefined || axis === undefined) return [];
  const { frequencyHz } = directivity;
  const referenceDb = bandMean(frequencyHz, axis.levelDb, [300, 3000]);
  const lowestHz = frequencyHz[0];
  if (referenceDb === undefined || lowestHz > CLAIMS_BASS_BELOW_HZ) return [];
  const lowest = Array.from(frequencyHz).flatMap((hz, at) => (hz <= 2 * lowestHz ? [at] : []));
  const { slope } = fitLine(
    lowest.map((at) => Math.log2(frequencyHz[at])),
    lowest.map((at) => axis.levelDb[at]),
  );
  const dropDb = referenceDb - (bandMean(frequencyHz, axis.levelDb, [lowestHz, 2 * lowestHz]) ?? referenceDb);
  if (slope >= (dropDb >= DEEP_DB ? DEEP_SLOPE : PLATEAU_SLOPE)) return [];
  const evidence = levelEvidence('On axis', frequencyHz, [axis]);
  const file = axis.series.source.file;
  const from = `${Math.round(lowestHz)} Hz`;
  if (dropDb < ROLLED_OFF_DB) {
    if (lowestHz > FLAT_TO_HZ) return [];
    const message = `No roll-off is seen down to ${from}. Few loudspeakers reach so low: if this one does not, the window on the impulse response was too short for the bass; measure it with a longer one, close to the driver or outdoors.`;
    return [{ severity: 'check', code: 'short-window', message, file, evidence }];
  }
  const amount = `${dropDb.toFixed(0)} dB under the mid-range`;
  if (dropDb >= NOISE_BELOW_DB) {
    const message = `The bass levels out ${amount} towards ${from} instead of rolling off: that is the noise floor. Measure at a higher level, closer or with more averages, or state the lowest valid frequency.`;
    return [{ severity: 'check', code: 'noise-floor', message, file, evidence }];
  }
  const message = `The bass levels out ${amount} towards ${from} instead of rolling off: the window on the impulse response was too short for the low end. Measure the bass with a longer window, close to the driver or outdoors.`;
  return [{ severity: 'check', code: 'short-window', message, file, evidence }];
}
