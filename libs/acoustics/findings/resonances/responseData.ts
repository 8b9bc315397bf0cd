import type { ResponseData } from './responseModel.js';

const DEEPEST_DB = 15;
const MIDDLE_HZ = [300, 3000] as const;
/** A unit this much louder elsewhere is not one for the middle (a subwoofer). */
const BAND_LIMITED_DB = 8;
/** No real response follows the model more closely than this, dB. */
const LEAST_SIGMA_DB = 0.05;
const LEAST_POINTS = 24;

/**
 * What of a response is fitted, and how exactly.
 *
 * The stretch about the reference level (the median from 300 Hz to 3 kHz; of a subwoofer, of its loudest
 * octave) within which the response does not fall 15 dB below it, up to `toHz`. Points on the slopes at
 * either end count for less: alignments differ there in ways no finding should come from. `frequencyHz` rises;
 * arrays have equal length; undefined with fewer than 24 usable points.
 */
export function responseData(
  frequencyHz: readonly number[],
  levelDb: readonly number[],
  toHz = 20_000,
  leastSigmaDb = LEAST_SIGMA_DB,
): ResponseData | undefined {
  const reference = referenceOf(frequencyHz, levelDb);
  if (!reference) return undefined;
  const isUsable = (i: number): boolean =>
    levelDb[i] > reference.levelDb - DEEPEST_DB && frequencyHz[i] <= toHz * 1.001;
  let first = reference.at;
  let last = reference.at;
  while (first > 0 && isUsable(first - 1)) first--;
  while (last + 1 < frequencyHz.length && isUsable(last + 1)) last++;
  if (last - first + 1 < LEAST_POINTS) return undefined;
  const hz = Float64Array.from(frequencyHz.slice(first, last + 1));
  const levels = Float64Array.from(levelDb.slice(first, last + 1));
  const noise = Math.max(leastSigmaDb, noiseOf(levels));
  const sigmaDb = levels.map((level, i) => {
    const drop = reference.isBandLimited || hz[i] < MIDDLE_HZ[0] ? reference.levelDb - level : 0;
    return noise * (1 + Math.max(0, drop - 4) / 3);
  });
  return { hz, levelDb: levels, sigmaDb, drift: 0 };
}

interface Reference {
  readonly levelDb: number;
  /** Index the usable stretch is sought from. */
  readonly at: number;
  readonly isBandLimited: boolean;
}

function referenceOf(frequencyHz: readonly number[], levelDb: readonly number[]): Reference | undefined {
  const inMiddle = (i: number): boolean => frequencyHz[i] >= MIDDLE_HZ[0] && frequencyHz[i] <= MIDDLE_HZ[1];
  const indices = frequencyHz.map((_, i) => i);
  const loudest = loudestOctave(frequencyHz, levelDb);
  if (!loudest) return undefined;
  const middle = indices.filter(inMiddle);
  const middleDb = middle.length > 0 ? median(middle.map((i) => levelDb[i])) : -Infinity;
  if (loudest.levelDb - middleDb > BAND_LIMITED_DB) return { ...loudest, isBandLimited: true };
  const nearest = middle.reduce((a, b) =>
    Math.abs(levelDb[b] - middleDb) < Math.abs(levelDb[a] - middleDb) ? b : a,
  );
  return { levelDb: middleDb, at: nearest, isBandLimited: false };
}

/** The octave with the highest median. */
function loudestOctave(
  frequencyHz: readonly number[],
  levelDb: readonly number[],
): { readonly levelDb: number; readonly at: number } | undefined {
  let best: { levelDb: number; at: number } | undefined;
  for (let i = 0; i < frequencyHz.length; i++) {
    const end = frequencyHz.findLastIndex((hz) => hz <= 2 * frequencyHz[i]);
    if (end - i < 4 || frequencyHz[end] < 1.8 * frequencyHz[i]) continue;
    const level = median(levelDb.slice(i, end + 1));
    if (!best || level > best.levelDb) best = { levelDb: level, at: (i + end) >> 1 };
  }
  return best;
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/** Point-to-point noise, dB: the median second difference is deaf to anything smooth. */
function noiseOf(levels: Float64Array): number {
  const second: number[] = [];
  for (let i = 1; i + 1 < levels.length; i++) {
    second.push(Math.abs(levels[i - 1] - 2 * levels[i] + levels[i + 1]));
  }
  return median(second) / (0.6745 * Math.sqrt(6));
}
