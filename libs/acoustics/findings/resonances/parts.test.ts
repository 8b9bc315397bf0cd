import { describe, expect, it } from 'vitest';
import { peakingDb } from '../testing/plantedUnit.js';
import { addBell } from './addBell.js';
import { addRollOff } from './addRollOff.js';
import { bellEdgesHz } from './bellEdgesHz.js';
import { bendBasis } from './bendBasis.js';

const HZ = Float64Array.from({ length: 60 }, (_, i) => 30 * 2 ** (i / 6));

/** Central differences of `evaluate` by its `at`-th parameter. */
function slopes(
  evaluate: (p: readonly number[]) => Float64Array,
  p: readonly number[],
  at: number,
): number[] {
  const step = 1e-5;
  const above = evaluate(p.with(at, p[at] + step));
  const below = evaluate(p.with(at, p[at] - step));
  return Array.from(above, (value, i) => (value - below[i]) / (2 * step));
}

describe('addBell', () => {
  it('is the peaking filter of the RBJ cookbook in its analogue form', () => {
    const out = new Float64Array(HZ.length);
    addBell(HZ, { lnCentre: Math.log(700), levelDb: -4.2, lnQ: Math.log(3), shape: 'resonance' }, out);
    HZ.forEach((hz, i) => expect(out[i]).toBeCloseTo(peakingDb(hz, 700, -4.2, 3), 9));
  });

  it.each(['resonance', 'gaussian'] as const)('%s: full level at the centre, half at its edges', (shape) => {
    const edges = bellEdgesHz({ centreHz: 1000, q: 2 });
    expect(1000 / (edges[1] - edges[0])).toBeCloseTo(2, 9);
    const out = new Float64Array(3);
    const bell = { lnCentre: Math.log(1000), levelDb: 5, lnQ: Math.log(2), shape };
    addBell(Float64Array.of(edges[0], 1000, edges[1]), bell, out);
    expect([...out]).toEqual([expect.closeTo(2.5, 9), expect.closeTo(5, 9), expect.closeTo(2.5, 9)]);
  });

  it.each(['resonance', 'gaussian'] as const)('%s: derivatives are those of the value', (shape) => {
    const p = [Math.log(900), 3.7, Math.log(1.8)];
    const evaluate = ([lnCentre, levelDb, lnQ]: readonly number[]): Float64Array => {
      const out = new Float64Array(HZ.length);
      addBell(HZ, { lnCentre, levelDb, lnQ, shape }, out);
      return out;
    };
    const jacobian = new Float64Array(3 * HZ.length);
    const columns = { jacobian, lnCentre: 0, level: HZ.length, lnQ: 2 * HZ.length };
    const [lnCentre, levelDb, lnQ] = p;
    addBell(HZ, { lnCentre, levelDb, lnQ, shape }, new Float64Array(HZ.length), columns);
    for (let at = 0; at < 3; at++) {
      slopes(evaluate, p, at).forEach((slope, i) =>
        expect(jacobian[at * HZ.length + i]).toBeCloseTo(slope, 5),
      );
    }
  });
});

describe('addRollOff', () => {
  it('two sections make the fourth-order Butterworth, whose F10 / F3 is 9^(-1/8)', () => {
    const level = (hz: number): number => {
      const out = new Float64Array(1);
      for (const q of [0.541196, 1.306563]) {
        addRollOff(Float64Array.of(hz), { side: 'high-pass', lnCorner: Math.log(50), lnQ: Math.log(q) }, out);
      }
      return out[0];
    };
    expect(level(50)).toBeCloseTo(-3.0103, 4);
    expect(level(50 * 9 ** (-1 / 8))).toBeCloseTo(-10, 4);
  });

  it.each(['high-pass', 'low-pass'] as const)('%s: derivatives are those of the value', (side) => {
    const p = [Math.log(300), Math.log(0.9)];
    const evaluate = ([lnCorner, lnQ]: readonly number[]): Float64Array => {
      const out = new Float64Array(HZ.length);
      addRollOff(HZ, { side, lnCorner, lnQ }, out);
      return out;
    };
    const jacobian = new Float64Array(2 * HZ.length);
    const columns = { jacobian, lnCorner: 0, lnQ: HZ.length };
    addRollOff(HZ, { side, lnCorner: p[0], lnQ: p[1] }, new Float64Array(HZ.length), columns);
    for (let at = 0; at < 2; at++) {
      slopes(evaluate, p, at).forEach((slope, i) =>
        expect(jacobian[at * HZ.length + i]).toBeCloseTo(slope, 5),
      );
    }
  });
});

describe('bendBasis', () => {
  it('adds up to 1 everywhere in its range, and to a line for rising coefficients', () => {
    const range = [HZ[0], HZ[HZ.length - 1]] as const;
    const basis = bendBasis(HZ, 8, range);
    HZ.forEach((hz, i) => {
      const values = Array.from({ length: 8 }, (_, k) => basis[k * HZ.length + i]);
      expect(values.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 12);
      const place = (Math.log(hz / range[0]) / Math.log(range[1] / range[0])) * 5;
      expect(values.reduce((sum, value, k) => sum + value * (k - 1), 0)).toBeCloseTo(place, 12);
    });
  });
});
