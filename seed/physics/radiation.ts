import type { Orbit } from '../../libs/acoustics/series.js';
import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { alignment } from './alignment.js';
import { add, fromDecibels, multiply, scale, type Complex, type Spectrum } from './complex.js';
import { cabinetLitFraction, edgeSum, litFraction } from './edgeDiffraction.js';
import { transferOf } from './filterParts.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import { distanceBetween, microphoneAt, type Point } from './geometry.js';
import type { Driver, Loudspeaker, PanelResonance } from './loudspeaker.js';
import { sourceDirectivity } from './sourceDirectivity.js';
import { resonator, type Transfer } from './transfer.js';

export interface MicrophonePlace {
  readonly orbit: Orbit;
  readonly angleDeg: number;
  readonly distanceM: number;
}

/** A loudspeaker whose direction-free parts have been evaluated on a grid once, for all directions. */
export interface PreparedLoudspeaker {
  readonly loudspeaker: Loudspeaker;
  readonly grid: FrequencyGrid;
  /** Per driver: pressure at 1 m in the half space, re 20 micropascal, for 2.83 V. */
  readonly cones: readonly Spectrum[];
  /** Small sources without direction: vents and ringing walls. */
  readonly points: readonly { readonly position: Point; readonly strength: Spectrum }[];
}

export function prepare(loudspeaker: Loudspeaker, grid: FrequencyGrid): PreparedLoudspeaker {
  const voicing = transferOf(loudspeaker.voicing);
  const cones: Spectrum[] = [];
  const points: { position: Point; strength: Spectrum }[] = [];
  for (const driver of loudspeaker.drivers) {
    const sources = driverSources(driver, voicing);
    cones.push(sample(sources.cone, grid));
    if (driver.vent) points.push({ position: driver.vent.position, strength: sample(sources.vent, grid) });
  }
  for (const panel of loudspeaker.panels) {
    points.push({ position: panel.position, strength: panelStrength(panel, cones, grid) });
  }
  return { loudspeaker, grid, cones, points };
}

/** Half-space pressure at 1 m of a driver's cone and vent. */
export function driverSources(driver: Driver, voicing: Transfer): { cone: Transfer; vent: Transfer } {
  const drive = transferOf([...driver.filters, ...(driver.cone ?? [])]);
  const level = fromDecibels(driver.halfSpaceDb);
  const low = driver.box ? alignment(driver.box) : undefined;
  const common: Transfer = (hz) => scale(multiply(drive(hz), voicing(hz)), level);
  const pipe = driver.vent?.pipe;
  const leak = pipe && resonator(pipe.hz, pipe.q);
  return {
    cone: (hz) => (low ? multiply(common(hz), low.cone(hz)) : common(hz)),
    vent: (hz) => {
      const tuned = low ? low.vent(hz) : { re: 0, im: 0 };
      const leaked = leak && pipe ? scale(leak(hz), fromDecibels(pipe.levelDb)) : { re: 0, im: 0 };
      return multiply(common(hz), add(tuned, leaked));
    },
  };
}

function sample(transfer: Transfer, grid: FrequencyGrid): Spectrum {
  const spectrum = emptySpectrum(grid);
  grid.frequencyHz.forEach((hz, bin) => put(spectrum, bin, transfer(hz)));
  return spectrum;
}

/** A wall is shaken by the sum of all cones. */
function panelStrength(panel: PanelResonance, cones: readonly Spectrum[], grid: FrequencyGrid): Spectrum {
  const ring = resonator(panel.hz, panel.q);
  const level = fromDecibels(panel.levelDb);
  const spectrum = emptySpectrum(grid);
  grid.frequencyHz.forEach((hz, bin) => {
    let shaken: Complex = { re: 0, im: 0 };
    for (const cone of cones) shaken = add(shaken, { re: cone.re[bin] ?? 0, im: cone.im[bin] ?? 0 });
    put(spectrum, bin, scale(multiply(ring(hz), shaken), level));
  });
  return spectrum;
}

/**
 * Complex pressure re 20 micropascal for 2.83 V at the microphone, at every frequency of the prepared grid.
 * Time zero is when sound from the reference point arrives, so a flat unit has no phase left from its flight.
 */
export function pressureAt(prepared: PreparedLoudspeaker, place: MicrophonePlace): Spectrum {
  const { loudspeaker, grid, cones, points } = prepared;
  const microphone = microphoneAt(place.orbit, place.angleDeg, place.distanceM);
  const total = emptySpectrum(grid);
  loudspeaker.drivers.forEach((driver, index) => {
    const strength = cones[index];
    if (strength) addCone(total, loudspeaker, driver, strength, microphone, place.distanceM, grid);
  });
  for (const point of points)
    addPoint(total, point.position, point.strength, microphone, place.distanceM, grid);
  return total;
}

function addCone(
  total: Spectrum,
  loudspeaker: Loudspeaker,
  driver: Driver,
  strength: Spectrum,
  microphone: Point,
  distanceM: number,
  grid: FrequencyGrid,
): void {
  const path = distanceBetween(driver.position, microphone);
  const sineAcross = (microphone.x - driver.position.x) / path;
  const sineUp = (microphone.y - driver.position.y) / path;
  const cosine = (microphone.z - driver.position.z) / path;
  const edge =
    loudspeaker.mounting === 'wall'
      ? undefined
      : edgeSum(loudspeaker.baffle, driver.position, microphone, grid);
  grid.frequencyHz.forEach((hz, bin) => {
    const k = (2 * Math.PI * hz) / SPEED_OF_SOUND_M_PER_S;
    const own = sourceDirectivity(driver.shape, k, sineAcross, sineUp);
    if (!edge) {
      if (cosine > 0) addArriving(total, strength, bin, { re: own, im: 0 }, path, distanceM, k);
      return;
    }
    const lit = (loudspeaker.mounting === 'open' ? litFraction : cabinetLitFraction)(cosine, k, edge.reachM);
    const share = edgeShare(loudspeaker, cosine, k);
    const grazingAcross = sourceDirectivity(driver.shape, k, 1, 0) * share;
    const grazingUp = sourceDirectivity(driver.shape, k, 0, 1) * share;
    const edgeRe = edge.across.re[bin] * grazingAcross + edge.up.re[bin] * grazingUp;
    const edgeIm = edge.across.im[bin] * grazingAcross + edge.up.im[bin] * grazingUp;
    const factor =
      loudspeaker.mounting === 'open'
        ? { re: (2 * lit - 1) * (own - edgeRe), im: (1 - 2 * lit) * edgeIm }
        : { re: lit * own + (0.5 - lit) * edgeRe, im: (0.5 - lit) * edgeIm };
    addArriving(total, strength, bin, factor, path, distanceM, k);
  });
}

/**
 * What is left of the edge's wave: rounded edges weaken it once the wave length is near their radius, and the
 * cabinet's own depth shades what goes behind. Both are plain first-order falls, an approximation.
 */
function edgeShare(loudspeaker: Loudspeaker, cosine: number, k: number): number {
  const rounding = 1 / Math.hypot(1, (k * loudspeaker.edgeRadiusM) / 2);
  const shade = 1 / Math.hypot(1, k * loudspeaker.depthM * Math.max(0, -cosine) * 0.12);
  return rounding * (loudspeaker.mounting === 'open' ? 1 : shade);
}

/** Vents and walls are small against the wave lengths they radiate: half a half-space source, all around. */
function addPoint(
  total: Spectrum,
  position: Point,
  strength: Spectrum,
  microphone: Point,
  distanceM: number,
  grid: FrequencyGrid,
): void {
  const path = distanceBetween(position, microphone);
  grid.frequencyHz.forEach((hz, bin) => {
    const k = (2 * Math.PI * hz) / SPEED_OF_SOUND_M_PER_S;
    addArriving(total, strength, bin, { re: 0.5, im: 0 }, path, distanceM, k);
  });
}

function addArriving(
  total: Spectrum,
  strength: Spectrum,
  bin: number,
  factor: Complex,
  pathM: number,
  distanceM: number,
  k: number,
): void {
  const angle = -k * (pathM - distanceM);
  const re = Math.cos(angle) / pathM;
  const im = Math.sin(angle) / pathM;
  const sourceRe = strength.re[bin] * factor.re - strength.im[bin] * factor.im;
  const sourceIm = strength.re[bin] * factor.im + strength.im[bin] * factor.re;
  total.re[bin] += sourceRe * re - sourceIm * im;
  total.im[bin] += sourceRe * im + sourceIm * re;
}

function emptySpectrum(grid: FrequencyGrid): Spectrum {
  return { re: new Float64Array(grid.frequencyHz.length), im: new Float64Array(grid.frequencyHz.length) };
}

function put(spectrum: Spectrum, bin: number, value: Complex): void {
  spectrum.re[bin] = value.re;
  spectrum.im[bin] = value.im;
}

/** Level in dB SPL per bin. */
export function levelsDb(spectrum: Spectrum): Float64Array {
  return spectrum.re.map((re, bin) => 20 * Math.log10(Math.max(1e-9, Math.hypot(re, spectrum.im[bin]))));
}
