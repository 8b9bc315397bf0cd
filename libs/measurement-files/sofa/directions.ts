/** x ahead along the view, y to the left of who looks, z up: right-handed, as AES69 has it. */
export type Vector = readonly [number, number, number];

const DEGREE = Math.PI / 180;

/** AES69 spherical coordinates: azimuth counter-clockwise from the view, elevation from the horizontal plane. */
export function fromSpherical(azimuthDeg: number, elevationDeg: number, radius: number): Vector {
  const level = radius * Math.cos(elevationDeg * DEGREE);
  return [
    level * Math.cos(azimuthDeg * DEGREE),
    level * Math.sin(azimuthDeg * DEGREE),
    radius * Math.sin(elevationDeg * DEGREE),
  ];
}

export const add = (a: Vector, b: Vector): Vector => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const subtract = (a: Vector, b: Vector): Vector => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const length = (a: Vector): number => Math.hypot(a[0], a[1], a[2]);
const scale = (a: Vector, by: number): Vector => [a[0] * by, a[1] * by, a[2] * by];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** The vector with length 1; undefined for one too short to have a direction. */
export function unit(a: Vector): Vector | undefined {
  const size = length(a);
  return size > 1e-9 ? scale(a, 1 / size) : undefined;
}

/** Great-circle angle between unit vectors, degrees. */
export function angleBetween(a: Vector, b: Vector): number {
  // atan2 keeps its precision for small angles, where acos of a cosine near 1 has none.
  return Math.atan2(length(cross(a, b)), dot(a, b)) / DEGREE;
}

/** The axes of who looks along `view` with `up` upwards, as rows: ahead, left, up. */
export interface Frame {
  readonly ahead: Vector;
  readonly left: Vector;
  readonly up: Vector;
}

/** Undefined when view and up are parallel or zero. `up` need not be exactly square to `view`. */
export function frameOf(view: Vector, up: Vector): Frame | undefined {
  const ahead = unit(view);
  if (ahead === undefined) return undefined;
  const squared = unit(subtract(up, scale(ahead, dot(up, ahead))));
  return squared === undefined ? undefined : { ahead, up: squared, left: cross(squared, ahead) };
}

/** Coordinates within the frame to global ones. */
export function outOf(frame: Frame, local: Vector): Vector {
  return add(add(scale(frame.ahead, local[0]), scale(frame.left, local[1])), scale(frame.up, local[2]));
}

/** Global coordinates to those within the frame. */
export function into(frame: Frame, global: Vector): Vector {
  return [dot(global, frame.ahead), dot(global, frame.left), dot(global, frame.up)];
}

/**
 * The direction of an orbit angle in the frame of the loudspeaker. Horizontal angles grow to the listener's
 * right, who faces the loudspeaker: that is its own left, where azimuth grows too. Vertical angles grow upwards
 * and go on over the top to 180 behind.
 */
export function orbitDirection(orbit: 'horizontal' | 'vertical', angleDeg: number): Vector {
  const along = Math.cos(angleDeg * DEGREE);
  const across = Math.sin(angleDeg * DEGREE);
  return orbit === 'horizontal' ? [along, across, 0] : [along, 0, across];
}
