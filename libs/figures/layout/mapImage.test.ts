import { describe, expect, it } from 'vitest';
import { FREQUENCY_AXIS, linearAxis } from '../describe/axes.js';
import type { FigureMap } from '../description.js';
import { readIndexedPng } from '../testing/readIndexedPng.js';
import { mapColour } from './mapColours.js';
import { mapImage } from './mapImage.js';

const Y_AXIS = linearAxis('Angle', '°', -180, 180, 60);
const GRID = Array.from({ length: 200 }, (_, index) => 20 * 1000 ** (index / 199));

function mapOf(angles: readonly number[], level: (hz: number, angleDeg: number) => number | null): FigureMap {
  const levelDb = angles.map((angle) => GRID.map((hz) => level(hz, angle)));
  return { frequencyHz: GRID, angleDeg: angles, levelDb, colourDb: [-30, 0], contourDb: -6 };
}

const CIRCLE = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);

describe('mapImage', () => {
  it('puts each level at its frequency and angle: top is +180, left is 20 Hz', () => {
    const plane = (hz: number, angle: number) => -15 + angle / 18 + 1.5 * Math.log10(hz / 632.5);
    const { width, height, pixels } = readIndexedPng(
      mapImage(mapOf([-180 + 1e-9, ...CIRCLE], plane), FREQUENCY_AXIS, Y_AXIS),
    );
    for (const [column, row] of [
      [0, 5],
      [50, 20],
      [110, 45],
      [219, 84],
    ] as const) {
      const hz = 20 * 1000 ** ((column + 0.5) / width);
      const angle = 180 - (360 * (row + 0.5)) / height;
      const position = 1 + ((plane(hz, angle) + 30) / 30) * 254;
      expect(Math.abs((pixels[row * width + column] ?? NaN) - position)).toBeLessThan(1);
    }
  });

  it('leaves a missing angle blank and nothing else', () => {
    const angles = CIRCLE.filter((angle) => angle !== 40);
    const { width, height, pixels } = readIndexedPng(
      mapImage(
        mapOf(angles, () => -3),
        FREQUENCY_AXIS,
        Y_AXIS,
      ),
    );
    const blank = Array.from({ length: height }, (_, row) => row)
      .filter((row) => pixels[row * width + 100] === 0)
      .map((row) => 180 - (360 * (row + 0.5)) / height);
    expect(blank.length).toBeGreaterThan(0);
    expect(blank.every((angle) => angle > 34 && angle < 46)).toBe(true);
  });

  it('leaves blank what is not known', () => {
    const { pixels } = readIndexedPng(
      mapImage(
        mapOf(CIRCLE, () => null),
        FREQUENCY_AXIS,
        Y_AXIS,
      ),
    );
    expect(pixels.every((pixel) => pixel === 0)).toBe(true);
  });

  it('clamps levels beyond the scale to its ends', () => {
    const { pixels } = readIndexedPng(
      mapImage(
        mapOf(CIRCLE, (_, angle) => (angle > 0 ? 9 : -60)),
        FREQUENCY_AXIS,
        Y_AXIS,
      ),
    );
    expect(Math.max(...pixels)).toBe(255);
    expect(Math.min(...pixels)).toBe(1);
  });
});

describe('mapColour', () => {
  it('grows lighter all the way, so order reads without colour', () => {
    const lightness = Array.from({ length: 101 }, (_, index) => {
      const [r, g, b] = mapColour(index / 100).map((channel) => {
        const share = channel / 255;
        return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
      }) as [number, number, number];
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    });
    const steps = lightness.slice(1).map((value, index) => value - (lightness[index] ?? 0));
    expect(Math.min(...steps)).toBeGreaterThan(-1e-4);
    expect(steps.filter((step) => step > 0).length).toBeGreaterThan(95);
  });
});
