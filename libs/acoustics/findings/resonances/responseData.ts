import type { ResponseData } from './responseModel.js';

const DEEPEST_DB = 15;
/** No real response follows the model more closely than this. */
const LEAST_SIGMA_DB = 0.05;

/**
 * What of a response is fitted, and how exactly.
 *
 * From the lowest frequency that the response reaches without falling 15 dB below its median between 300 Hz
 * and 3 kHz, up to `toHz`. Points on the bass slope count for less: alignments differ there in ways no
 * finding should come from. `frequencyHz` rises; arrays have equal length; undefined with fewer than 24
 * usable points.
 */
export function responseData(
  frequencyHz: readonly number[],
  levelDb: readonly number[],
  toHz = 20_000,
): ResponseData | undefined {
  const referenceDb = referenceLevel(frequencyHz, levelDb);
  const last = frequencyHz.findLastIndex((hz) => hz <= toHz * 1.001);
  let first = frequencyHz.findIndex((hz) => hz > 300);
  if (first < 0) first = last;
  while (first > 0 && levelDb[first - 1] > referenceDb - DEEPEST_DB) first--;
  if (last - first < 23) return undefined;
  const hz = Float64Array.from(frequencyHz.slice(first, last + 1));
  const levels = Float64Array.from(levelDb.slice(first, last + 1));
  const noise = Math.max(LEAST_SIGMA_DB, noiseOf(levels));
  const sigmaDb = levels.map((level, i) => {
    const drop = hz[i] < 300 ? referenceDb - level : 0;
    return noise * (1 + Math.max(0, drop - 4) / 3);
  });
  return { hz, levelDb: levels, sigmaDb, drift: 0 };
}

function referenceLevel(frequencyHz: readonly number[], levelDb: readonly number[]): number {
  const middle = levelDb.filter((_, i) => frequencyHz[i] >= 300 && frequencyHz[i] <= 3000);
  const sorted = (middle.length > 0 ? middle : [...levelDb]).sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/** Point-to-point noise, dB: the median second difference is deaf to anything smooth. */
function noiseOf(levels: Float64Array): number {
  const second: number[] = [];
  for (let i = 1; i + 1 < levels.length; i++) {
    second.push(Math.abs(levels[i - 1] - 2 * levels[i] + levels[i + 1]));
  }
  second.sort((a, b) => a - b);
  return second[second.length >> 1] / (0.6745 * Math.sqrt(6));
}
