import { driveFor, type AxisModel } from './axisModel.js';
import { fromDecibels, type Spectrum } from './complex.js';
import { excursionRatio } from './excursion.js';
import { signalOf, spectrumOf } from './fourier.js';
import { fourierGrid, type FrequencyGrid } from './frequencyGrid.js';
import type { Motor } from './loudspeaker.js';
import { prepare, pressureAt } from './radiation.js';

/**
 * Plays a signal at a level: pressure over time at 1 m on the reference axis, re 20 micropascal.
 *
 * The signal is relative to a full sine's peak, so a sine or sweep of amplitude 1 plays at `levelDb`.
 */
export type Player = (signal: Float64Array, levelDb: number) => Float64Array;

/**
 * A unit with its nonlinearities at work, ready for signals of `size` samples, a power of two. What is still
 * sounding at the end comes round to the start, so signals end with silence or repeat without a seam.
 * Frequencies above `PRODUCT_LIMIT_HZ` make no products, since these would fall outside the recording.
 */
export function playerFor(model: AxisModel, sampleRateHz: number, size: number): Player {
  const grid = fourierGrid(sampleRateHz, size);
  const prepared = prepare(model.loudspeaker, grid);
  const linear = pressureAt(prepared, ONE_METRE_ON_AXIS);
  const sounding = prepared.cones.filter(({ driver }) => driver.motor.residualPercent.second > 0);
  return (signal, levelDb) => {
    const played = spectrumOf(signal, size);
    const drive = driveFor(model, levelDb) * Math.SQRT2;
    const total = filtered(played, linear, grid, () => drive);
    const extra = new Float64Array(size);
    for (const { driver, strength } of sounding) {
      const own: DriverPlayback = { motor: driver.motor, strength, played, drive, grid };
      addResidual(extra, own, levelDb);
      addExcursionProducts(total, own);
    }
    const pressure = signalOf(total, size);
    return pressure.map((sample, index) => sample + extra[index]);
  };
}

const ONE_METRE_ON_AXIS = { orbit: 'horizontal', angleDeg: 0, distanceM: 1 } as const;
const PRODUCT_LIMIT_HZ = 8000;

interface DriverPlayback {
  readonly motor: Motor;
  /** Half-space pressure of the cone per frequency. */
  readonly strength: Spectrum;
  readonly played: Spectrum;
  readonly drive: number;
  readonly grid: FrequencyGrid;
}

/** Excursion over the limit per pressure at a frequency, both as peaks; excursion is against the pressure. */
function excursionPerPressure(motor: Motor, hz: number): number {
  return -excursionRatio(motor, 1, Math.SQRT1_2) / (hz * hz);
}

/**
 * Distortion that follows excursion: at the limit 5 % second and 8.5 % third harmonic. A product at n times the
 * frequency radiates n^2 times better, hence the small coefficients.
 */
function addExcursionProducts(total: Spectrum, own: DriverPlayback): void {
  const size = own.played.re.length;
  const moved = signalOf(
    filtered(own.played, own.strength, own.grid, (hz) => own.drive * excursionPerPressure(own.motor, hz)),
    size,
  );
  const products = moved.map((ratio) => {
    const held = ratio / (1 + 0.2 * Math.abs(ratio));
    return held * held * (SECOND_ORDER + THIRD_ORDER * held);
  });
  const spectrum = spectrumOf(products, size);
  const perPressure = excursionPerPressure(own.motor, 1);
  own.grid.frequencyHz.forEach((hz, index) => {
    if (hz > 2 * PRODUCT_LIMIT_HZ) return;
    // A small source in a cabinet radiates half its half-space pressure.
    const back = (0.5 * hz * hz) / perPressure;
    total.re[index + 1] += back * spectrum.re[index + 1];
    total.im[index + 1] += back * spectrum.im[index + 1];
  });
}

const SECOND_ORDER = (2 * 0.05) / 4;
const THIRD_ORDER = (-4 * 0.085) / 9;

/** Distortion of other causes, in proportion to the driver's own pressure. */
function addResidual(extra: Float64Array, own: DriverPlayback, levelDb: number): void {
  const nominal = Math.SQRT2 * fromDecibels(levelDb);
  const share = (0.5 * own.drive) / nominal;
  const alone = signalOf(
    filtered(own.played, own.strength, own.grid, (hz) => (hz > PRODUCT_LIMIT_HZ ? 0 : share)),
    own.played.re.length,
  );
  const louder = fromDecibels(levelDb - 86);
  const { residualPercent } = own.motor;
  const second = (2 * residualPercent.second * louder ** 0.7) / 100;
  const third = (4 * residualPercent.third * louder ** 1.2) / 100;
  alone.forEach((value, index) => {
    extra[index] += nominal * value * value * (second + third * value);
  });
}

/** Bins 0..size/2 of the played signal through a response given on bins 1..size/2, times a real gain. */
function filtered(
  played: Spectrum,
  response: Spectrum,
  grid: FrequencyGrid,
  gain: (hz: number) => number,
): Spectrum {
  const length = grid.frequencyHz.length;
  const half = { re: new Float64Array(length + 1), im: new Float64Array(length + 1) };
  grid.frequencyHz.forEach((hz, index) => {
    const factor = gain(hz);
    const inRe = played.re[index + 1] * factor;
    const inIm = played.im[index + 1] * factor;
    half.re[index + 1] = inRe * response.re[index] - inIm * response.im[index];
    half.im[index + 1] = inRe * response.im[index] + inIm * response.re[index];
  });
  return half;
}
