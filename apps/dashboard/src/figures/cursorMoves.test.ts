import { describe, expect, it } from 'vitest';
import type { FigureDescription } from '../../../../libs/figures/index.js';
import { moved, nextAngle } from './cursorMoves.js';

const description = {
  panels: [{ x: { domain: [20, 20_000] }, series: [{ x: [100, 200, 400], y: [1, 2, 3] }] }],
} as unknown as FigureDescription;
const press = (key: string, shiftKey = false) => ({ key, shiftKey });

describe('the cursor by keyboard', () => {
  it('goes point by point and stays at the last', () => {
    expect(moved(description, 100, press('ArrowRight'))).toBe(200);
    expect(moved(description, 150, press('ArrowLeft'))).toBe(100);
    expect(moved(description, 400, press('ArrowRight'))).toBe(400);
  });
  it('goes by thirds, octaves and to the ends, within the axis', () => {
    expect(moved(description, 1000, press('ArrowRight', true))).toBeCloseTo(1259.92, 2);
    expect(moved(description, 15_000, press('PageUp'))).toBe(20_000);
    expect(moved(description, 30, press('PageDown'))).toBe(20);
    expect(moved(description, 1000, press('End'))).toBe(20_000);
  });
  it('leaves other keys to the page', () => expect(moved(description, 100, press('Tab'))).toBeNull());
  it('finds the next measured angle', () => {
    expect(nextAngle([-20, -10, 0, 10], 0, 1)).toBe(10);
    expect(nextAngle([-20, -10, 0, 10], 10, 1)).toBe(10);
    expect(nextAngle([-20, -10, 0, 10], 3, -1)).toBe(0);
  });
});
