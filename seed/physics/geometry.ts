import type { Orbit } from '../../libs/acoustics/series.js';

/**
 * Metres from the reference point: x to the listener's right as seen from the listening position, y up,
 * z out of the front baffle towards the listener.
 */
export interface Point {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** Where the microphone stands after the cabinet was turned by `angleDeg` about the reference axis. */
export function microphoneAt(orbit: Orbit, angleDeg: number, distanceM: number): Point {
  const angle = (angleDeg * Math.PI) / 180;
  const across = distanceM * Math.sin(angle);
  const along = distanceM * Math.cos(angle);
  return orbit === 'horizontal' ? { x: across, y: 0, z: along } : { x: 0, y: across, z: along };
}

export function distanceBetween(a: Point, b: Point): number {
  return Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z);
}

/** The baffle's four edges, metres from the reference point. */
export interface Baffle {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Where a ray from a point of the baffle at `azimuthRad` (0 to the right, counter-clockwise) meets the edge. */
export function edgePoint(baffle: Baffle, from: Point, azimuthRad: number): Point {
  const dx = Math.cos(azimuthRad);
  const dy = Math.sin(azimuthRad);
  const toSide = dx > 0 ? (baffle.right - from.x) / dx : dx < 0 ? (baffle.left - from.x) / dx : Infinity;
  const toEnd = dy > 0 ? (baffle.top - from.y) / dy : dy < 0 ? (baffle.bottom - from.y) / dy : Infinity;
  const reach = Math.min(toSide, toEnd);
  return { x: from.x + reach * dx, y: from.y + reach * dy, z: 0 };
}
