import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { besselJ0, besselJ1 } from './bessel.js';

export interface CircularSource {
  readonly shape: 'circular';
  readonly radiusM: number;
  /** Above this the moving part breaks up and its outer zone falls silent, so the beam narrows less. */
  readonly breakupHz?: number;
}

/** A waveguide or horn: a piston of the mouth's size until its walls hold the beam at their coverage angle. */
export interface GuidedSource {
  readonly shape: 'guided';
  readonly mouthRadiusM: { readonly horizontal: number; readonly vertical: number };
  /** Angle from the axis at which the level is 6 dB down once the walls are in control, degrees. */
  readonly coverageDeg: { readonly horizontal: number; readonly vertical: number };
}

export interface RectangularSource {
  readonly shape: 'rectangular';
  readonly widthM: number;
  readonly heightM: number;
}

/** A thin ring, such as the step around a coaxial driver that sends part of the treble out again. */
export interface RingSource {
  readonly shape: 'ring';
  readonly radiusM: number;
}

export type SourceShape = CircularSource | GuidedSource | RectangularSource | RingSource;

/** 2 J1(x) / x: far field of a rigid circular piston in a baffle, x = k a sin(angle) (Kinsler & Frey; Beranek). */
export function pistonPattern(x: number): number {
  return Math.abs(x) < 1e-6 ? 1 : (2 * besselJ1(x)) / x;
}

/** Where 2 J1(x) / x has fallen to a half. */
const HALF_PRESSURE_ARGUMENT = 2.215089;

/**
 * Pressure relative to the source's own axis in the direction whose sines against the axis are `sineAcross`
 * and `sineUp`; far field, front half space.
 */
export function sourceDirectivity(
  shape: SourceShape,
  wavenumber: number,
  sineAcross: number,
  sineUp: number,
): number {
  switch (shape.shape) {
    case 'circular': {
      const radius = shape.radiusM * breakupFactor(shape, wavenumber);
      return pistonPattern(wavenumber * radius * Math.sqrt(sineAcross ** 2 + sineUp ** 2));
    }
    case 'guided': {
      const { mouthRadiusM, coverageDeg } = shape;
      const across = heldSize(wavenumber * mouthRadiusM.horizontal, coverageDeg.horizontal) * sineAcross;
      const up = heldSize(wavenumber * mouthRadiusM.vertical, coverageDeg.vertical) * sineUp;
      return pistonPattern(Math.sqrt(across ** 2 + up ** 2));
    }
    case 'ring':
      return besselJ0(wavenumber * shape.radiusM * Math.sqrt(sineAcross ** 2 + sineUp ** 2));
    case 'rectangular':
      return (
        sinc((wavenumber * shape.widthM * sineAcross) / 2) * sinc((wavenumber * shape.heightM * sineUp) / 2)
      );
  }
}

function breakupFactor(shape: CircularSource, wavenumber: number): number {
  if (shape.breakupHz === undefined) return 1;
  const frequencyHz = (wavenumber * SPEED_OF_SOUND_M_PER_S) / (2 * Math.PI);
  return 1 / Math.sqrt(Math.sqrt(1 + (frequencyHz / shape.breakupHz) ** 2));
}

/** Grows with the mouth's ka, then holds at the size whose half-pressure angle is the coverage angle. */
function heldSize(ka: number, coverageDeg: number): number {
  const limit = HALF_PRESSURE_ARGUMENT / Math.sin((coverageDeg * Math.PI) / 180);
  const square = (ka / limit) ** 2;
  return ka / Math.sqrt(Math.sqrt(1 + square * square));
}

function sinc(x: number): number {
  return Math.abs(x) < 1e-6 ? 1 : Math.sin(x) / x;
}
