import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { distanceBetween, edgePoint, type Baffle, type Point } from './geometry.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import type { Spectrum } from './complex.js';

/** Edge points per source; enough that the sum is smooth to 20 kHz for cabinets up to a metre. */
const EDGE_POINTS = 40;

/**
 * Mean of the edge's delayed copies of a source, split by the way they leave it.
 *
 * The sound of a source in a finite baffle is its own wave plus the wave every piece of the edge sends out
 * again where the baffle ends (Vanderkooy 1991, "A simple theory of cabinet edge diffraction", JAES 39). The
 * pieces seen from the source under equal angles carry equal shares. `across` + `up` has magnitude 1 at low
 * frequency.
 */
export interface EdgeSum {
  readonly across: Spectrum;
  readonly up: Spectrum;
  /** Mean distance from the source to the edge, metres. */
  readonly reachM: number;
}

/** Delays are relative to the source's own path to the microphone. */
export function edgeSum(baffle: Baffle, source: Point, microphone: Point, grid: FrequencyGrid): EdgeSum {
  const length = grid.frequencyHz.length;
  const across = { re: new Float64Array(length), im: new Float64Array(length) };
  const up = { re: new Float64Array(length), im: new Float64Array(length) };
  const direct = distanceBetween(source, microphone);
  let reachM = 0;
  for (let index = 0; index < EDGE_POINTS; index++) {
    const azimuth = ((index + 0.5) * 2 * Math.PI) / EDGE_POINTS;
    const edge = edgePoint(baffle, source, azimuth);
    const toEdge = distanceBetween(source, edge);
    const delayS = (toEdge + distanceBetween(edge, microphone) - direct) / SPEED_OF_SOUND_M_PER_S;
    const shareAcross = Math.cos(azimuth) ** 2 / EDGE_POINTS;
    reachM += toEdge / EDGE_POINTS;
    addDelayed(across, up, shareAcross, 1 / EDGE_POINTS - shareAcross, delayS, grid);
  }
  return { across, up, reachM };
}

function addDelayed(
  across: Spectrum,
  up: Spectrum,
  shareAcross: number,
  shareUp: number,
  delayS: number,
  grid: FrequencyGrid,
): void {
  const { frequencyHz, stepHz } = grid;
  const turn = -2 * Math.PI * delayS;
  const stepRe = stepHz === undefined ? 1 : Math.cos(turn * stepHz);
  const stepIm = stepHz === undefined ? 0 : Math.sin(turn * stepHz);
  let re = Math.cos(turn * frequencyHz[0]);
  let im = Math.sin(turn * frequencyHz[0]);
  for (let bin = 0; bin < frequencyHz.length; bin++) {
    if (stepHz === undefined) {
      const angle = turn * frequencyHz[bin];
      re = Math.cos(angle);
      im = Math.sin(angle);
    }
    across.re[bin] += shareAcross * re;
    across.im[bin] += shareAcross * im;
    up.re[bin] += shareUp * re;
    up.im[bin] += shareUp * im;
    const next = re * stepRe - im * stepIm;
    im = re * stepIm + im * stepRe;
    re = next;
  }
}

/**
 * The part of a source's own wave that is seen from a direction: 1 on axis, a half in the baffle's plane, 0
 * straight behind. Near the plane the change is gradual, the more so the smaller the plate is against the wave
 * length; for a very small one it is (1 + cos) / 2, which makes an open panel's figure of eight exact.
 */
export function litFraction(cosine: number, wavenumber: number, reachM: number): number {
  const steepness = 1.5 * Math.sqrt(wavenumber * reachM);
  if (steepness < 1e-3) return (1 + cosine) / 2;
  return (1 + Math.tanh(steepness * cosine) / Math.tanh(steepness)) / 2;
}

/**
 * The same for a cabinet, whose depth makes front and back part more slowly than a thin plate's: below the
 * size of the cabinet a half in every direction, and more to the sides while the wave length is near it. An
 * approximation drawn to follow a source in a sphere of the same size.
 */
export function cabinetLitFraction(cosine: number, wavenumber: number, reachM: number): number {
  const square = (wavenumber * reachM) ** 2;
  const parted = square / (0.8 + square);
  const aside = ((0.35 * square) / (1 + square) / (1 + square / 16)) * (1 - cosine ** 2);
  return 0.5 + (litFraction(cosine, wavenumber, reachM) - 0.5) * parted + aside;
}
