import { besselJ1 } from './besselJ1.js';

/** Pressure of a rigid circular piston in a wide baffle re on axis, 2 J1(x)/x with x = ka sin(angle). */
export function pistonPattern(ka: number, angleDeg: number): number {
  const x = ka * Math.sin((Math.abs(angleDeg) * Math.PI) / 180);
  return x < 1e-6 ? 1 : (2 * besselJ1(x)) / x;
}
