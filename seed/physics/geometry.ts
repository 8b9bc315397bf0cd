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

/** A piece of the baffle's edge and the part of the full circle it takes up as seen from a source. */
export interface EdgePiece {
  readonly start: Point;
  readonly middle: Point;
  readonly share: number;
}

/** The whole edge round, in pieces of at most `pieceM`, each starting where the one before ends; for a source inside the baffle the shares add up to 1. */
export function edgePieces(baffle: Baffle, source: Point, pieceM: number): readonly EdgePiece[] {
  const { left, right, top, bottom } = baffle;
  const corners = [
    [right, bottom],
    [right, top],
    [left, top],
    [left, bottom],
  ] as const;
  return corners.flatMap(([fromX, fromY], index) => {
    const [toX, toY] = corners[(index + 1) % 4] ?? corners[0];
    const count = Math.ceil(Math.hypot(toX - fromX, toY - fromY) / pieceM);
    const at = (part: number): Point => ({
      x: fromX + (toX - fromX) * part,
      y: fromY + (toY - fromY) * part,
      z: 0,
    });
    return Array.from({ length: count }, (_, piece) => ({
      start: at(piece / count),
      middle: at((piece + 0.5) / count),
      share: angleBetween(source, at(piece / count), at((piece + 1) / count)) / (2 * Math.PI),
    }));
  });
}

function angleBetween(source: Point, from: Point, to: Point): number {
  const [ax, ay, bx, by] = [from.x - source.x, from.y - source.y, to.x - source.x, to.y - source.y];
  return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
}
