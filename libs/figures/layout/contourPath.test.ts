import { describe, expect, it } from 'vitest';
import { FREQUENCY_AXIS, linearAxis } from '../describe/axes.js';
import type { FigureMap } from '../description.js';
import { axisScale } from './axisScale.js';
import { contourPath } from './contourPath.js';

const ANGLES = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);
const GRID = Array.from({ length: 200 }, (_, index) => 20 * 1000 ** (index / 199));
const Y_AXIS = linearAxis('Angle', '°', -180, 180, 60);
const X = axisScale(FREQUENCY_AXIS, 0, 600);
const Y = axisScale(Y_AXIS, 300, 0);

function mapOf(level: (hz: number, angleDeg: number) => number | null, angles = ANGLES): FigureMap {
  const levelDb = angles.map((angle) => GRID.map((hz) => level(hz, angle)));
  return { frequencyHz: GRID, angleDeg: angles, levelDb, colourDb: [-30, 0], contourDb: -6 };
}

function lines(path: string): (readonly [number, number])[][] {
  return path
    .split('M')
    .filter((part) => part !== '')
    .map((part) => part.split('L').map((pair) => pair.split(',').map(Number) as [number, number]));
}

describe('contourPath', () => {
  it('follows a level that is straight in angle to a tenth of a px', () => {
    // -6 dB at 40 degrees below 200 Hz, closing in by 10 degrees per octave above.
    const edge = (hz: number) => 100 - 10 * Math.max(0, Math.log2(hz / 200));
    const path = contourPath(
      mapOf((hz, angle) => (-6 * Math.abs(angle)) / edge(hz)),
      -6,
      FREQUENCY_AXIS,
      X,
      Y,
    );
    const points = lines(path).flat();
    expect(lines(path)).toHaveLength(2);
    expect(points.length).toBeGreaterThan(390);
    for (const [x, y] of points) {
      const slack = 0.06 * (360 / 300) + 0.2;
      expect(Math.abs(Math.abs(Y.valueAt(y)) - edge(X.valueAt(x)))).toBeLessThan(slack);
    }
  });

  it('closes a loop around a hole in the level', () => {
    const dip = (hz: number, angle: number) =>
      Math.hypot(Math.log2(hz / 2000) * 60, angle - 40) < 35 ? -20 : 0;
    const loops = lines(contourPath(mapOf(dip), -6, FREQUENCY_AXIS, X, Y));
    expect(loops).toHaveLength(1);
    expect(loops[0]?.[0]).toEqual(loops[0]?.at(-1));
  });

  it('joins the circle behind the cabinet', () => {
    const rear = (_: number, angle: number) => (Math.abs(angle) > 155 ? 0 : -20);
    const ends = lines(contourPath(mapOf(rear), -6, FREQUENCY_AXIS, X, Y)).flat();
    const angles = ends.map(([, y]) => Y.valueAt(y));
    expect(Math.max(...angles.map(Math.abs))).toBeLessThan(161);
  });

  it('draws nothing across a missing angle, nor where nothing is known, nor where the level is not reached', () => {
    const some = ANGLES.filter((angle) => angle !== 40);
    const step = (_: number, angle: number) => (angle < 40 ? 0 : -20);
    const across = lines(contourPath(mapOf(step, some), -6, FREQUENCY_AXIS, X, Y)).flat();
    expect(across.every(([, y]) => Math.abs(Y.valueAt(y)) > 50)).toBe(true);
    expect(
      contourPath(
        mapOf(() => null),
        -6,
        FREQUENCY_AXIS,
        X,
        Y,
      ),
    ).toBe('');
    expect(
      contourPath(
        mapOf(() => -3),
        -6,
        FREQUENCY_AXIS,
        X,
        Y,
      ),
    ).toBe('');
  });
});
