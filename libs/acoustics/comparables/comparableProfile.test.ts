import { describe, expect, it } from 'vitest';
import { logGridHz } from '../grid/logGridHz.js';
import { comparableProfile } from './comparableProfile.js';

const frequencyHz = Array.from(logGridHz(20, 20_000));
const octavesAbove1kHz = frequencyHz.map((hz) => Math.log2(hz / 1000));

describe('comparableProfile', () => {
  it('is zero in all twenty bands of a flat response, however loud', () => {
    const profile = comparableProfile({
      frequencyHz,
      curves: { listeningWindow: frequencyHz.map(() => 87.3) },
    });
    expect(profile?.responseDb).toHaveLength(20);
    for (const value of profile?.responseDb ?? []) expect(value).toBeCloseTo(0, 9);
    expect(profile?.directivityDb).toEqual([]);
    expect(profile?.bassOctaves).toEqual([]);
  });

  it('falls a third of the slope from band to band on a straight tilt', () => {
    const tilt = octavesAbove1kHz.map((octaves) => 90 - 3 * octaves);
    const values = comparableProfile({ frequencyHz, curves: { listeningWindow: tilt } })?.responseDb ?? [];
    // A third octave of the base-ten system is log2(10^0.1) octaves; band means on the grid miss it by under 0.05 dB.
    const step = -3 * Math.log2(10 ** 0.1);
    for (let i = 1; i < values.length; i += 1) {
      expect(Math.abs((values[i] ?? 0) - (values[i - 1] ?? 0) - step)).toBeLessThan(0.1);
    }
    expect((values[19] ?? 0) - (values[0] ?? 0)).toBeCloseTo(19 * step, 0);
  });

  it('takes directivity as it is and bass in octaves, so that half the frequency is one octave away', () => {
    const curves = { soundPowerDirectivityIndex: frequencyHz.map(() => 6.5) };
    const profile = comparableProfile({ frequencyHz, curves, bass: { f3Hz: 64, f10Hz: 32 } });
    expect(profile?.bassOctaves).toEqual([6, 5]);
    for (const value of profile?.directivityDb ?? []) expect(value).toBeCloseTo(6.5, 9);
  });

  it('leaves out the bands and limits that were not measured', () => {
    const from = frequencyHz.findIndex((hz) => hz > 280);
    const short = frequencyHz.slice(from);
    const profile = comparableProfile({
      frequencyHz: short,
      curves: { listeningWindow: short.map(() => 80) },
      bass: { f3Hz: 128 },
    });
    // The bands at 200 and 250 Hz lie wholly or partly below the data.
    expect(profile?.responseDb.slice(0, 3)).toEqual([null, null, expect.closeTo(0, 9)]);
    expect(profile?.bassOctaves).toEqual([7, null]);
  });

  it('has no response where the reference band was not measured, and nothing where nothing was', () => {
    const from = frequencyHz.findIndex((hz) => hz > 1000);
    const short = frequencyHz.slice(from);
    expect(
      comparableProfile({ frequencyHz: short, curves: { listeningWindow: short.map(() => 80) } }),
    ).toBeUndefined();
    expect(comparableProfile({})).toBeUndefined();
  });
});
