import type { Orbit } from '../series.js';
import type { LoudspeakerModel } from './loudspeakerModel.js';
import { pistonPattern } from './pistonPattern.js';

const SPEED_OF_SOUND = 343;

export interface Complex {
  readonly re: number;
  readonly im: number;
}

/**
 * Far-field pressure of the invented two-way in one direction, relative to its level: piston drivers at
 * their places, a fourth-order Butterworth bass, a fourth-order crossover whose halves sum in phase, a
 * cabinet that shades the rear as the wavelength gets short, and sound re-radiated by the side edges.
 */
export function radiatedPressure(
  model: LoudspeakerModel,
  orbit: Orbit,
  angleDeg: number,
  hz: number,
): Complex {
  const angle = (angleDeg * Math.PI) / 180;
  const right = orbit === 'horizontal' ? Math.sin(angle) : 0;
  const up = orbit === 'vertical' ? Math.sin(angle) : 0;
  const k = (2 * Math.PI * hz) / SPEED_OF_SOUND;
  const shade = rearShade(model, Math.cos(angle), hz);

  const low = times(lowPass(hz / model.crossoverHz), highPass(hz / model.bassCornerHz));
  const wooferAt = turn(low, -k * (model.spacingM * up + model.recessM * Math.cos(angle)));
  const woofer = scale(wooferAt, shade * pistonPattern(k * model.wooferRadiusM, angleDeg));

  const high = highPass(hz / model.crossoverHz, true);
  const tweeterAt = turn(high, k * model.tweeterOffsetM * right);
  const direct = scale(tweeterAt, shade * pistonPattern(k * model.tweeterRadiusM, angleDeg));
  const edges = [-1, 1].map((side) => {
    const edge = (side * model.cabinetWidthM) / 2;
    const path = Math.abs(edge - model.tweeterOffsetM);
    return scale(turn(high, k * (edge * right - path)), -0.12 * shade);
  });
  return [woofer, direct, ...edges].reduce((sum, part) => ({ re: sum.re + part.re, im: sum.im + part.im }));
}

/** From 1 in front to the model's rear value behind, growing with frequency. */
function rearShade({ cabinetWidthM, rear }: LoudspeakerModel, cosine: number, hz: number): number {
  const corner = SPEED_OF_SOUND / (Math.PI * cabinetWidthM);
  const grown = (hz / corner) ** 2 / (1 + (hz / corner) ** 2);
  // A dipole cancels at all frequencies; a box only where it is large against the wavelength.
  const depth = rear < 0 ? 1 - rear : (1 - rear) * grown;
  return 1 - (depth * (1 - cosine)) / 2;
}

/** Fourth-order low-pass of two equal second-order Butterworth sections. */
function lowPass(w: number): Complex {
  const section = inverse({ re: 1 - w * w, im: Math.SQRT2 * w });
  return times(section, section);
}

/** Fourth-order high-pass: of two equal Butterworth sections, or one fourth-order Butterworth. */
function highPass(w: number, squared = false): Complex {
  const dampings = squared ? [Math.SQRT2, Math.SQRT2] : [0.76536686, 1.84775907];
  const [one, other] = dampings.map((damping) => scale(inverse({ re: 1 - w * w, im: damping * w }), -w * w));
  return times(one, other);
}

function times(one: Complex, other: Complex): Complex {
  return { re: one.re * other.re - one.im * other.im, im: one.re * other.im + one.im * other.re };
}

function inverse({ re, im }: Complex): Complex {
  const size = re * re + im * im;
  return { re: re / size, im: -im / size };
}

function scale({ re, im }: Complex, factor: number): Complex {
  return { re: re * factor, im: im * factor };
}

function turn(value: Complex, radians: number): Complex {
  return times(value, { re: Math.cos(radians), im: Math.sin(radians) });
}
