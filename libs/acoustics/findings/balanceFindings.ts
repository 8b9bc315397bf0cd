import type { CurveName, Finding } from '../analysis.js';
import { departures, type Departure } from './departures.js';
import { slopeOf } from './slopeOf.js';
import type { SlowPart } from './slowPart.js';
import { curveWords } from './words/curveWords.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';

/** Less than these is within what makers choose; common practice, no source. */
const LEAST_TILT_DB_PER_OCTAVE = 0.3;
const LEAST_BROAD_DB = 1;

/**
 * Tilt and broad departures from it, judged on the slow part of the listening window.
 *
 * A tilt's `levelDb` is the change from the lower to the upper end of its range. Both are correctable when the
 * listening window was measured: over so wide a band it is a matter of balance, and directivity is not asked to
 * change.
 */
export function balanceFindings(slow: SlowPart | undefined): readonly Finding[] {
  if (!slow) return [];
  const slope = slopeOf(slow.hz, slow.levelDb);
  const tilt = Math.abs(slope) >= LEAST_TILT_DB_PER_OCTAVE ? [tiltFinding(slow, slope)] : [];
  return [
    ...tilt,
    ...departures(slow.hz, slow.levelDb, LEAST_BROAD_DB).map((one) => broadFinding(one, slow.curve)),
  ];
}

function tiltFinding({ hz, curve }: SlowPart, slope: number): Finding {
  const fromHz = hz[0];
  const toHz = hz[hz.length - 1];
  const levelDb = slope * Math.log2(toHz / fromHz);
  const way = slope > 0 ? 'rises' : 'falls';
  const correctable = curve === 'listeningWindow';
  const reason = correctable
    ? 'it is balance, which shelves can turn back'
    : 'without the listening window it is not known whether that holds beyond this curve';
  return {
    kind: 'tilt',
    fromHz,
    toHz,
    centreHz: Math.sqrt(fromHz * toHz),
    levelDb,
    curve,
    correctable,
    why: `${subject(curve)} ${way} by ${Math.abs(slope).toFixed(2)} dB per octave, ${sayDb(levelDb)} from ${sayHz(fromHz)} to ${sayHz(toHz)}: ${reason}.`,
  };
}

function broadFinding({ fromHz, toHz, centreHz, levelDb }: Departure, curve: CurveName): Finding {
  const correctable = curve === 'listeningWindow';
  const side = levelDb > 0 ? 'above' : 'below';
  const reason = correctable
    ? 'so wide a departure is balance, and an equaliser can correct it'
    : 'without the listening window it is not known whether that holds beyond this curve';
  return {
    kind: levelDb > 0 ? 'broad-excess' : 'broad-deficit',
    fromHz,
    toHz,
    centreHz,
    levelDb,
    q: centreHz / (toHz - fromHz),
    curve,
    correctable,
    why: `From ${sayHz(fromHz)} to ${sayHz(toHz)} ${subject(curve).toLowerCase()} stands up to ${sayDb(levelDb)} ${side} its straight trend: ${reason}.`,
  };
}

function subject(curve: CurveName): string {
  const words = curveWords(curve);
  return curve === 'onAxis' ? 'The response on axis' : `${words[0].toUpperCase()}${words.slice(1)}`;
}
