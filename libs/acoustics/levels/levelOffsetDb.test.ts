import { describe, expect, it } from 'vitest';
import { levelOffsetDb } from './levelOffsetDb.js';

// Inverse distance law and linearity, derived.
describe('levelOffsetDb', () => {
  it('brings 2 m to 1 m with +6.0206 dB', () => {
    expect(levelOffsetDb({ distanceM: 2, driveVolts: 2.83 })).toBeCloseTo(6.0206, 4);
  });

  it('brings 2 V to 2.83 V with +3.0151 dB, as 2.83 V into 4 ohm is +3.0151 dB re 1 W', () => {
    expect(levelOffsetDb({ driveVolts: 2 })).toBeCloseTo(3.0151, 4);
    expect(10 * Math.log10(2.83 ** 2 / 4)).toBeCloseTo(3.0151, 4);
    expect(2.83 ** 2 / 8).toBeCloseTo(1.00111, 5);
  });

  it("lets a file's own conditions win over the set's", () => {
    expect(levelOffsetDb({ distanceM: 2 }, { distanceM: 1 })).toBe(0);
  });

  it('changes nothing where nothing is stated', () => {
    expect(levelOffsetDb({})).toBe(0);
  });
});
