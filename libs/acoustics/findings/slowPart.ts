import type { CurveName, Curves } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import { addBell } from './resonances/addBell.js';
import type { SizedShape } from './sizeShapes.js';

/** What balance is judged on. Arrays have equal length. */
export interface SlowPart {
  readonly curve: CurveName;
  readonly hz: Float64Array;
  readonly levelDb: Float64Array;
}

/** From well above the bass roll-off to where tweeters and microphones differ; common practice, no source. */
const LOWEST_HZ = 100;
const ABOVE_BASS = 2;
const HIGHEST_START_HZ = 250;
const HIGHEST_HZ = 16_000;
/** Width of the smoothing, octaves at half weight. */
const SMOOTHING_OCTAVES = 0.7;
const LEAST_OCTAVES = 3;

/**
 * The slow part of the listening window (without one, of the fitted curve) above its bass, all
 * peaks and dips taken out, the rest smoothed.
 *
 * @returns undefined when less than three octaves are left
 */
export function slowPart(
  frequencyHz: readonly number[],
  curves: Curves,
  { curve: fitted, data }: DirectSound,
  shapes: readonly SizedShape[],
): SlowPart | undefined {
  const curve = curves.listeningWindow ? 'listeningWindow' : fitted;
  const first = frequencyHz.indexOf(data.hz[0]);
  const taken = new Float64Array(data.hz.length);
  for (const { bells, shares } of shapes) {
    const share = curve === fitted ? 1 : Math.max(0, shares.get(curve) ?? 0);
    const shape = new Float64Array(data.hz.length);
    for (const { centreHz, levelDb, q, shape: form } of bells) {
      addBell(data.hz, { lnCentre: Math.log(centreHz), levelDb, lnQ: Math.log(q), shape: form }, shape);
    }
    for (let i = 0; i < taken.length; i++) taken[i] += share * shape[i];
  }
  const rest = taken.map((level, i) => (curves[curve]?.[first + i] ?? 0) - level);
  const fromHz = Math.max(LOWEST_HZ, Math.min(ABOVE_BASS * bassEndHz(data.hz, rest), HIGHEST_START_HZ));
  const inRange = (_: number, i: number): boolean => data.hz[i] >= fromHz && data.hz[i] <= HIGHEST_HZ;
  const hz = data.hz.filter(inRange);
  if (hz.length < 2 || Math.log2(hz[hz.length - 1] / hz[0]) < LEAST_OCTAVES) return undefined;
  return { curve, hz, levelDb: smoothed(hz, rest.filter(inRange)) };
}

/** Where the response comes within 3 dB of its median, from below. */
function bassEndHz(hz: Float64Array, levelDb: Float64Array): number {
  const sorted = levelDb.toSorted();
  const medianDb = sorted[sorted.length >> 1];
  return hz[
    Math.max(
      0,
      levelDb.findIndex((level) => level > medianDb - 3),
    )
  ];
}

/** Local straight lines with Gaussian weights, which keep a tilt up to the ends. */
function smoothed(hz: Float64Array, levelDb: Float64Array): Float64Array {
  const octaves = hz.map((f) => Math.log2(f));
  return octaves.map((centre) => {
    let w = 0;
    let wx = 0;
    let wxx = 0;
    let wy = 0;
    let wxy = 0;
    for (let i = 0; i < octaves.length; i++) {
      const x = octaves[i] - centre;
      const weight = Math.exp(-Math.LN2 * ((2 * x) / SMOOTHING_OCTAVES) ** 2);
      w += weight;
      wx += weight * x;
      wxx += weight * x * x;
      wy += weight * levelDb[i];
      wxy += weight * x * levelDb[i];
    }
    const determinant = w * wxx - wx * wx;
    return determinant > 1e-9 * w * wxx ? (wxx * wy - wx * wxy) / determinant : wy / w;
  });
}
