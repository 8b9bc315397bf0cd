import { describe, expect, it } from 'vitest';
import { magnitude } from './complex.js';
import { logarithmicGrid } from './frequencyGrid.js';
import { coilImpedance, secondOrderLadder, terminalImpedance, throughLadder } from './impedance.js';
import type { VoiceCoil } from './loudspeaker.js';
import { unitDesigns } from '../units/index.js';

const coil: VoiceCoil = {
  resistanceOhm: 6,
  resonanceHz: 40,
  mechanicalQ: 4,
  electricalQ: 0.4,
  lossyInductance: { k: 0, n: 0.7 },
  network: [],
};

describe('coilImpedance', () => {
  it('rises to Re (1 + Qms/Qes) at resonance in a closed box', () => {
    // Small 1972, JAES 20.
    const peak = coilImpedance(coil, { kind: 'closed', resonanceHz: 40, q: 0.36 }, 40);
    expect(peak.re).toBeCloseTo(6 * (1 + 4 / 0.4), 9);
    expect(peak.im).toBeCloseTo(0, 9);
    expect(magnitude(coilImpedance(coil, undefined, 1))).toBeLessThan(6.2);
  });

  it('has two peaks with a saddle at the tuning in a vented box', () => {
    // Small 1973, JAES 21: without losses the saddle is the bare voice coil resistance.
    const box = {
      kind: 'vented',
      driverHz: 40,
      driverQ: 0.36,
      boxHz: 44,
      complianceRatio: 1.2,
      leakQ: 1e9,
    } as const;
    const at = (hz: number) => magnitude(coilImpedance(coil, box, hz));
    expect(at(44)).toBeCloseTo(6, 6);
    const below = Math.max(...Array.from({ length: 200 }, (_, n) => at(15 + n * 0.14)));
    const above = Math.max(...Array.from({ length: 400 }, (_, n) => at(45 + n * 0.14)));
    // Both lossless peaks reach Re (1 + Qms/Qes).
    expect(below).toBeCloseTo(66, -1);
    expect(above).toBeCloseTo(66, -1);
  });

  it('follows K (j w)^n where the lossy inductance rules', () => {
    // Leach 2002: |Z| grows by 2^n per octave and its phase tends to n times 90 degrees.
    const lossy = { ...coil, lossyInductance: { k: 1, n: 0.7 } };
    const low = coilImpedance(lossy, undefined, 1e5);
    const high = coilImpedance(lossy, undefined, 2e5);
    expect(magnitude(high) / magnitude(low)).toBeCloseTo(2 ** 0.7, 2);
    expect((Math.atan2(high.im, high.re) * 180) / Math.PI).toBeCloseTo(63, 0);
  });
});

describe('throughLadder', () => {
  it('passes a low-pass branch at low and shuts it at high frequency', () => {
    const ladder = secondOrderLadder('lowpass', 2000, 8);
    expect(magnitude(throughLadder(ladder, { re: 8, im: 0 }, 20))).toBeCloseTo(8.15, 1);
    expect(magnitude(throughLadder(ladder, { re: 8, im: 0 }, 20000))).toBeGreaterThan(100);
  });

  it('a high-pass branch is nearly open at low frequency', () => {
    const ladder = secondOrderLadder('highpass', 2000, 8);
    expect(magnitude(throughLadder(ladder, { re: 8, im: 0 }, 20))).toBeGreaterThan(500);
  });
});

describe('terminalImpedance of every passive design', () => {
  const grid = logarithmicGrid(10, 20000, 48);
  it.each(unitDesigns.map((design) => [design.id, design] as const))('%s is physical', (_, design) => {
    const impedance = terminalImpedance(design.loudspeaker, grid);
    const active = design.loudspeaker.drivers.every((driver) => driver.coil === undefined);
    expect(impedance === undefined).toBe(active);
    impedance?.re.forEach((re, bin) => {
      // A passive load takes power at every frequency.
      expect(re).toBeGreaterThan(0.5);
      expect(Math.hypot(re, impedance.im[bin])).toBeLessThan(120);
    });
  });
});
