import type { Orbit } from '../../libs/acoustics/series.js';
import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import type { Spectrum } from './complex.js';
import { cabinetLitFraction, edgeSum, litFraction, type EdgeSum } from './edgeDiffraction.js';
import { transferOf } from './filterParts.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import { distanceBetween, microphoneAt, type Point } from './geometry.js';
import type { Driver, Loudspeaker } from './loudspeaker.js';
import { sourceDirectivity } from './sourceDirectivity.js';
import { driverSources, emptySpectrum, panelStrength, sampled } from './sources.js';

export interface MicrophonePlace {
  readonly orbit: Orbit;
  readonly angleDeg: number;
  readonly distanceM: number;
}

/** A loudspeaker whose direction-free parts have been evaluated on a grid once, for all directions. */
export interface PreparedLoudspeaker {
  readonly loudspeaker: Loudspeaker;
  readonly grid: FrequencyGrid;
  /** 2 pi f / c per grid frequency. */
  readonly wavenumbers: Float64Array;
  readonly cones: readonly PreparedCone[];
  /** Small sources without direction: vents and ringing walls. */
  readonly points: readonly PreparedPoint[];
}

interface PreparedPoint {
  readonly position: Point;
  /** Half-space pressure at 1 m, re 20 micropascal, for 2.83 V. */
  readonly strength: Spectrum;
}

interface PreparedCone extends PreparedPoint {
  readonly driver: Driver;
  /** Its own directivity along the baffle, towards the sides and towards the ends. */
  readonly grazingAcross: Float64Array;
  readonly grazingUp: Float64Array;
}

export function prepare(loudspeaker: Loudspeaker, grid: FrequencyGrid): PreparedLoudspeaker {
  const voicing = transferOf(loudspeaker.voicing);
  const wavenumbers = grid.frequencyHz.map((hz) => (2 * Math.PI * hz) / SPEED_OF_SOUND_M_PER_S);
  const cones: PreparedCone[] = [];
  const points: PreparedPoint[] = [];
  for (const driver of loudspeaker.drivers) {
    const { cone, vent } = driverSources(driver, voicing);
    cones.push({
      driver,
      position: driver.position,
      strength: sampled(cone, grid),
      grazingAcross: wavenumbers.map((k) => sourceDirectivity(driver.shape, k, 1, 0)),
      grazingUp: wavenumbers.map((k) => sourceDirectivity(driver.shape, k, 0, 1)),
    });
    if (driver.vent) points.push({ position: driver.vent.position, strength: sampled(vent, grid) });
  }
  const strengths = cones.map((cone) => cone.strength);
  for (const panel of loudspeaker.panels) {
    points.push({ position: panel.position, strength: panelStrength(panel, strengths, grid) });
  }
  return { loudspeaker, grid, wavenumbers, cones, points };
}

/**
 * Complex pressure re 20 micropascal for 2.83 V at the microphone, at every frequency of the prepared grid.
 * Time zero is when sound from the reference point arrives, so a flat unit has no phase left from its flight.
 */
export function pressureAt(prepared: PreparedLoudspeaker, place: MicrophonePlace): Spectrum {
  const microphone = microphoneAt(place.orbit, place.angleDeg, place.distanceM);
  const total = emptySpectrum(prepared.grid);
  for (const cone of prepared.cones) {
    const pattern = conePattern(prepared, cone, microphone);
    if (pattern) addArriving(total, prepared, cone, pattern, microphone, place.distanceM);
  }
  for (const point of prepared.points) {
    addArriving(total, prepared, point, undefined, microphone, place.distanceM);
  }
  return total;
}

/**
 * What a cone sends towards the microphone relative to its half-space pressure: its own wave as far as it is
 * seen, and the edge's. Undefined behind a wall.
 */
function conePattern(
  prepared: PreparedLoudspeaker,
  cone: PreparedCone,
  microphone: Point,
): Spectrum | undefined {
  const { loudspeaker, grid, wavenumbers } = prepared;
  const { mounting, baffle } = loudspeaker;
  const path = distanceBetween(cone.position, microphone);
  const cosine = (microphone.z - cone.position.z) / path;
  if (mounting === 'wall' && cosine <= 0) return undefined;
  const sineAcross = (microphone.x - cone.position.x) / path;
  const sineUp = (microphone.y - cone.position.y) / path;
  const own = wavenumbers.map((k) => sourceDirectivity(cone.driver.shape, k, sineAcross, sineUp));
  if (mounting === 'wall') return { re: own, im: new Float64Array(own.length) };
  const edge = edgeSum(baffle, cone.position, microphone, grid);
  return mounting === 'open'
    ? openPattern(prepared, cone, own, edge, cosine)
    : cabinetPattern(prepared, cone, own, edge, cosine);
}

function cabinetPattern(
  prepared: PreparedLoudspeaker,
  cone: PreparedCone,
  own: Float64Array,
  edge: EdgeSum,
  cosine: number,
): Spectrum {
  const pattern = emptySpectrum(prepared.grid);
  const behind = Math.max(0, -cosine);
  prepared.wavenumbers.forEach((k, bin) => {
    const lit = cabinetLitFraction(cosine, k, edge.reachM);
    const share = (0.5 - lit) * edgeShare(prepared.loudspeaker, k) * shading(prepared.loudspeaker, k, behind);
    const across = share * cone.grazingAcross[bin];
    const up = share * cone.grazingUp[bin];
    pattern.re[bin] = lit * own[bin] + edge.across.re[bin] * across + edge.up.re[bin] * up;
    pattern.im[bin] = edge.across.im[bin] * across + edge.up.im[bin] * up;
  });
  return pattern;
}

/** An open panel's back plays the same, inverted: front and back patterns are subtracted. */
function openPattern(
  prepared: PreparedLoudspeaker,
  cone: PreparedCone,
  own: Float64Array,
  edge: EdgeSum,
  cosine: number,
): Spectrum {
  const pattern = emptySpectrum(prepared.grid);
  prepared.wavenumbers.forEach((k, bin) => {
    const facing = 2 * litFraction(cosine, k, edge.reachM) - 1;
    const share = -facing * edgeShare(prepared.loudspeaker, k);
    const across = share * cone.grazingAcross[bin];
    const up = share * cone.grazingUp[bin];
    pattern.re[bin] = facing * own[bin] + edge.across.re[bin] * across + edge.up.re[bin] * up;
    pattern.im[bin] = edge.across.im[bin] * across + edge.up.im[bin] * up;
  });
  return pattern;
}

/** Rounded edges send less out again once the wave length is near their radius; a first-order fall. */
function edgeShare(loudspeaker: Loudspeaker, k: number): number {
  return 1 / Math.sqrt(1 + ((k * loudspeaker.edgeRadiusM) / 4) ** 2);
}

/** The cabinet's depth shades what the edge sends behind; a first-order fall drawn by eye. */
function shading(loudspeaker: Loudspeaker, k: number, behind: number): number {
  return 1 / Math.sqrt(1 + (k * loudspeaker.depthM * behind * 0.06) ** 2);
}

/**
 * Adds a source's wave with the phase and the loss of its path. Without a pattern it is small against the wave
 * lengths it radiates: half its half-space pressure, all around.
 */
function addArriving(
  total: Spectrum,
  prepared: PreparedLoudspeaker,
  source: PreparedPoint,
  pattern: Spectrum | undefined,
  microphone: Point,
  distanceM: number,
): void {
  const path = distanceBetween(source.position, microphone);
  const { re: strengthRe, im: strengthIm } = source.strength;
  prepared.wavenumbers.forEach((k, bin) => {
    const patternRe = pattern ? pattern.re[bin] : 0.5;
    const patternIm = pattern ? pattern.im[bin] : 0;
    const sentRe = (strengthRe[bin] * patternRe - strengthIm[bin] * patternIm) / path;
    const sentIm = (strengthRe[bin] * patternIm + strengthIm[bin] * patternRe) / path;
    const angle = -k * (path - distanceM);
    const turnRe = Math.cos(angle);
    const turnIm = Math.sin(angle);
    total.re[bin] += sentRe * turnRe - sentIm * turnIm;
    total.im[bin] += sentRe * turnIm + sentIm * turnRe;
  });
}

/** Level in dB SPL per bin. */
export function levelsDb(spectrum: Spectrum): Float64Array {
  return spectrum.re.map((re, bin) => {
    const power = re * re + spectrum.im[bin] * spectrum.im[bin];
    return 10 * Math.log10(Math.max(1e-18, power));
  });
}
