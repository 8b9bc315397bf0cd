import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { distanceBetween, edgePieces, type Baffle, type EdgePiece, type Point } from './geometry.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import type { Spectrum } from './complex.js';

/** Length of the pieces the edge is cut into; within one the path is taken as changing evenly. */
const PIECE_M = 0.025;

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

/**
 * Delays are relative to the source's own path to the microphone.
 *
 * Over a piece whose path changes by d the phase turns evenly, and its share integrates to
 * share (e^(-jk start) - e^(-jk end)) / (j k d): a coarse cut stays exact where the edge runs along the sound.
 * Where the path stands still (d near 0) the middle speaks for the piece.
 */
export function edgeSum(baffle: Baffle, source: Point, microphone: Point, grid: FrequencyGrid): EdgeSum {
  const direct = distanceBetween(source, microphone);
  const detour = (at: Point) => distanceBetween(source, at) + distanceBetween(at, microphone) - direct;
  const pieces = edgePieces(baffle, source, PIECE_M);
  const starts = pieces.map((piece) => detour(piece.start));
  const ends = emptyPair(grid);
  const middles = emptyPair(grid);
  let reachM = 0;
  let before: Weights = NO_WEIGHT;
  const closing = weightsOf(pieces.at(-1), source, (starts[0] ?? 0) - (starts.at(-1) ?? 0));
  if (closing.steady) before = closing.perMetre;
  pieces.forEach((piece, index) => {
    const start = starts[index] ?? 0;
    const { whole, perMetre, steady } = weightsOf(
      piece,
      source,
      (starts[index + 1] ?? starts[0] ?? 0) - start,
    );
    reachM += piece.share * distanceBetween(source, piece.middle);
    const here = steady ? perMetre : NO_WEIGHT;
    addDelayed(ends, { across: here.across - before.across, up: here.up - before.up }, start, grid);
    if (!steady) addDelayed(middles, whole, detour(piece.middle), grid);
    before = here;
  });
  return { ...joined(middles, ends, grid), reachM };
}

interface Weights {
  readonly across: number;
  readonly up: number;
}
interface SpectrumPair {
  readonly across: Spectrum;
  readonly up: Spectrum;
}
const NO_WEIGHT: Weights = { across: 0, up: 0 };

/** Path change below which a piece counts as standing still. */
const STILL_M = 0.0005;

function weightsOf(
  piece: EdgePiece | undefined,
  source: Point,
  changeM: number,
): { readonly whole: Weights; readonly perMetre: Weights; readonly steady: boolean } {
  if (!piece) return { whole: NO_WEIGHT, perMetre: NO_WEIGHT, steady: false };
  const toEdge = distanceBetween(source, piece.middle);
  const across = piece.share * ((piece.middle.x - source.x) / toEdge) ** 2;
  const whole = { across, up: piece.share - across };
  const perMetre = { across: whole.across / changeM, up: whole.up / changeM };
  return { whole, perMetre, steady: Math.abs(changeM) > STILL_M };
}

function emptyPair(grid: FrequencyGrid): SpectrumPair {
  const empty = () => ({
    re: new Float64Array(grid.frequencyHz.length),
    im: new Float64Array(grid.frequencyHz.length),
  });
  return { across: empty(), up: empty() };
}

/** middles + ends / (j k) */
function joined(middles: SpectrumPair, ends: SpectrumPair, grid: FrequencyGrid): SpectrumPair {
  const one = (middle: Spectrum, end: Spectrum): Spectrum => {
    const reach = grid.frequencyHz.map((hz) => SPEED_OF_SOUND_M_PER_S / (2 * Math.PI * hz));
    return {
      re: middle.re.map((re, bin) => re + end.im[bin] * reach[bin]),
      im: middle.im.map((im, bin) => im - end.re[bin] * reach[bin]),
    };
  };
  return { across: one(middles.across, ends.across), up: one(middles.up, ends.up) };
}

function addDelayed(sum: SpectrumPair, weights: Weights, detourM: number, grid: FrequencyGrid): void {
  const { frequencyHz, stepHz } = grid;
  const { across, up } = sum;
  const turn = (-2 * Math.PI * detourM) / SPEED_OF_SOUND_M_PER_S;
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
    across.re[bin] += weights.across * re;
    across.im[bin] += weights.across * im;
    up.re[bin] += weights.up * re;
    up.im[bin] += weights.up * im;
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
