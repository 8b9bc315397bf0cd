import { describe, expect, it } from 'vitest';
import type { AccessoryView } from '../contracts.js';
import { tally } from './tally.js';

const item = (
  name: string,
  expected: number,
  arrived: number | null,
  returned: number | null,
): AccessoryView => ({
  id: name,
  name,
  expectedCount: expected,
  packaging: false,
  arrivedCount: arrived,
  arrivalNote: '',
  returnedCount: returned,
  returnNote: '',
  lossToldAt: null,
  version: 1,
});

describe('a checklist', () => {
  const items = [item('grille', 2, 1, 1), item('spike', 8, null, null), item('cable', 1, 1, 0)];
  it('knows what did not come, and does not call the uncounted missing', () => {
    expect(tally(items, 'arrival')).toEqual({ all: 3, counted: 2, short: ['1 × grille'] });
  });
  it('asks back only what came', () => {
    expect(tally(items, 'return')).toEqual({ all: 3, counted: 2, short: ['1 × cable'] });
  });
});
