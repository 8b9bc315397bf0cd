import { describe, expect, it } from 'vitest';
import { allowedHours, levelCaution } from './noise.js';

describe('noise dose', () => {
  // NIOSH 98-126, table 1-1: minutes allowed.
  it.each([
    [85, 480],
    [88, 240],
    [94, 60],
    [100, 15],
  ])('%i dBA is allowed %i minutes', (level, minutes) =>
    expect(allowedHours(level) * 60).toBeCloseTo(minutes, 9),
  );
  it('warns from 85 dBA', () => {
    expect(levelCaution(84)).toBeNull();
    expect(levelCaution(94)).toContain('after 1 h');
    expect(levelCaution(100)).toContain('after 15 min');
  });
});
