import { describe, expect, it } from 'vitest';
import { serialDiffers } from './serials.js';

const units = [
  { id: 'a', serial: 'HR-3 00120' },
  { id: 'b', serial: '' },
];

describe('serial numbers', () => {
  it('differ when another was read than was noted', () => {
    expect(serialDiffers({ unitId: 'a', serialSeen: 'HR-3 00121' }, units)).toBe(true);
  });
  it('are the same however they are spaced and written', () => {
    expect(serialDiffers({ unitId: 'a', serialSeen: 'hr3-00120' }, units)).toBe(false);
  });
  it('cannot differ where one of them is not known', () => {
    expect(serialDiffers({ unitId: 'b', serialSeen: 'X1' }, units)).toBe(false);
    expect(serialDiffers({ unitId: 'a', serialSeen: '  ' }, units)).toBe(false);
    expect(serialDiffers({ unitId: null, serialSeen: 'X1' }, units)).toBe(false);
  });
  it('of the crate as a whole are those of its only unit', () => {
    expect(serialDiffers({ unitId: null, serialSeen: 'X1' }, units.slice(0, 1))).toBe(true);
  });
});
