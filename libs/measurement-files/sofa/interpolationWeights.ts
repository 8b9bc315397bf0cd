import { angleBetween, dot, subtract, type Vector } from './directions.js';

/** Which measured directions stand in for a wanted one. */
export interface Weights {
  readonly indices: readonly number[];
  /** Same length; they sum to 1. */
  readonly weights: readonly number[];
  /** The farthest of them from the wanted direction, degrees. 0: it was measured itself. */
  readonly farthestDeg: number;
}

/** A measured direction this near is the wanted one: turntables and stands are not set finer. */
const SAME_DEG = 0.6;
/** Directions farther away than this say nothing about the wanted one. */
const REACH_DEG = 30;
const NEIGHBOURS = 12;
/** A neighbour pair spans the wanted direction when the detour over it is no longer than this. */
const ON_ARC_DEG = 0.5;

/**
 * Finds how to get a wanted direction out of measured ones: itself, else the narrowest pair with it on the arc
 * between, else the tightest triangle around it. Undefined when it lies outside what was measured: the
 * directions of a horizontal orbit never become a vertical one.
 *
 * All vectors are unit vectors.
 */
export function interpolationWeights(wanted: Vector, measured: readonly Vector[]): Weights | undefined {
  const near = nearest(wanted, measured);
  const first = near[0];
  if (first === undefined) return undefined;
  if (first.deg <= SAME_DEG) return { indices: [first.index], weights: [1], farthestDeg: 0 };
  return onArc(near, measured) ?? inTriangle(wanted, near, measured);
}

interface Neighbour {
  readonly index: number;
  readonly deg: number;
}

function nearest(wanted: Vector, measured: readonly Vector[]): Neighbour[] {
  const cosine = Math.cos((REACH_DEG * Math.PI) / 180);
  return measured
    .map((direction, index) => ({ direction, index }))
    .filter(({ direction }) => dot(direction, wanted) >= cosine)
    .map(({ direction, index }) => ({ index, deg: angleBetween(direction, wanted) }))
    .sort((a, b) => a.deg - b.deg)
    .slice(0, NEIGHBOURS);
}

function onArc(near: readonly Neighbour[], measured: readonly Vector[]): Weights | undefined {
  let best: Weights | undefined;
  for (const a of near) {
    for (const b of near) {
      if (b.deg < a.deg || a === b) continue;
      const span = angleBetween(measured[a.index], measured[b.index]);
      if (a.deg + b.deg - span > ON_ARC_DEG || (best !== undefined && b.deg >= best.farthestDeg)) continue;
      const total = a.deg + b.deg;
      best = { indices: [a.index, b.index], weights: [b.deg / total, a.deg / total], farthestDeg: b.deg };
    }
  }
  return best;
}

function inTriangle(
  wanted: Vector,
  near: readonly Neighbour[],
  measured: readonly Vector[],
): Weights | undefined {
  const flat = near.map(({ index }) => project(measured[index], wanted));
  for (let c = 2; c < near.length; c += 1) {
    for (let b = 1; b < c; b += 1) {
      for (let a = 0; a < b; a += 1) {
        const weights = barycentric(flat[a], flat[b], flat[c]);
        // `near` is sorted, so the first triangle found has the nearest farthest corner.
        if (weights === undefined) continue;
        return {
          indices: [near[a].index, near[b].index, near[c].index],
          weights,
          farthestDeg: near[c].deg,
        };
      }
    }
  }
  return undefined;
}

/** Onto the plane that touches the sphere at `wanted` (gnomonic: great circles become straight lines). */
function project(direction: Vector, wanted: Vector): readonly [number, number] {
  const helper: Vector = Math.abs(wanted[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const across = subtract(helper, scaled(wanted, dot(helper, wanted)));
  const other: Vector = [
    wanted[1] * across[2] - wanted[2] * across[1],
    wanted[2] * across[0] - wanted[0] * across[2],
    wanted[0] * across[1] - wanted[1] * across[0],
  ];
  const ahead = dot(direction, wanted);
  return [dot(direction, across) / ahead, dot(direction, other) / ahead];
}

function scaled(vector: Vector, by: number): Vector {
  return [vector[0] * by, vector[1] * by, vector[2] * by];
}

type Point = readonly [number, number];

/** Weights of the corners for the origin; undefined when it lies outside or the triangle is nearly a line. */
function barycentric(a: Point, b: Point, c: Point): [number, number, number] | undefined {
  const cross = (p: Point, q: Point) => p[0] * q[1] - p[1] * q[0];
  const area = cross(a, b) + cross(b, c) + cross(c, a);
  const longest = Math.max(...[a, b, c].map((point) => Math.hypot(point[0], point[1])));
  if (Math.abs(area) < 1e-3 * longest * longest) return undefined;
  const weights: [number, number, number] = [cross(b, c) / area, cross(c, a) / area, cross(a, b) / area];
  return weights.every((weight) => weight >= -1e-9) ? weights : undefined;
}
