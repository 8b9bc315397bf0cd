import { describe, expect, it } from 'vitest';
import { logGridHz } from '../grid/logGridHz.js';
import { fitLine } from './fitLine.js';
import { flatness } from './flatness.js';
import { inRoomTrend } from './inRoomTrend.js';
import { lowFrequencyExtensionHz } from './lowFrequencyExtensionHz.js';
import { narrowBandDeviation } from './narrowBandDeviation.js';
import { predictedPreference } from './predictedPreference.js';
import { preferenceRating } from './preferenceRating.js';
import { sensitivity } from './sensitivity.js';
import { smoothness } from './smoothness.js';

const grid = logGridHz(20, 20_000);
const tilt = Array.from(grid, (hz) => 85 - Math.log2(hz / 1000));

describe('sensitivity', () => {
  it('is the mean level from 300 Hz to 3 kHz', () => {
    const level = Array.from(grid, (hz) => (hz < 290 || hz > 3100 ? 60 : 87.5));
    expect(sensitivity(grid, level)).toEqual({ db: 87.5, bandHz: [300, 3000] });
    // A line over log f has its mean at the band's geometric middle.
    expect(sensitivity(grid, tilt)?.db).toBeCloseTo(85 - Math.log2(Math.sqrt(300 * 3000) / 1000), 1);
  });

  it('is not given for data that misses the band', () => {
    const short = logGridHz(500, 20_000);
    expect(sensitivity(short, new Float64Array(short.length))).toBeUndefined();
  });
});

describe('flatness', () => {
  it('is half the span between 100 Hz and 10 kHz', () => {
    const wavy = Array.from(grid, (hz) => 85 + 2 * Math.sin(2 * Math.PI * Math.log2(hz / 1000)));
    const found = flatness(grid, { onAxis: wavy, listeningWindow: tilt });
    expect(found?.bandHz).toEqual([100, 10_000]);
    expect(found?.onAxisWithinDb).toBeCloseTo(2, 1);
    expect(found?.listeningWindowWithinDb).toBeCloseTo(Math.log2(100) / 2, 1);
  });
});

describe('inRoomTrend', () => {
  it('recovers slope, level at 1 kHz and residual of a known curve', () => {
    const curve = Array.from(grid, (hz, at) => 84 - 0.8 * Math.log2(hz / 1000) + (at % 2 === 0 ? 0.5 : -0.5));
    const trend = inRoomTrend(grid, curve);
    expect(trend?.slopeDbPerOctave).toBeCloseTo(-0.8, 2);
    expect(trend?.interceptDb).toBeCloseTo(84, 1);
    expect(trend?.residualRmsDb).toBeCloseTo(0.5, 2);
    expect(trend?.fromHz).toBe(500);
    expect(trend?.toHz).toBeCloseTo(20_000, 6);
  });

  it('does not see what happens under 500 Hz', () => {
    const boomy = tilt.map((db, at) => (grid[at] < 450 ? db + 9 : db));
    expect(inRoomTrend(grid, boomy)).toEqual(inRoomTrend(grid, tilt));
  });
});

describe('fitLine', () => {
  it('agrees with the line through two points and with a constant', () => {
    expect(fitLine([1, 3], [2, 8])).toMatchObject({ slope: 3, intercept: -1, rSquared: 1 });
    expect(fitLine([1, 2, 3], [4, 4, 4])).toMatchObject({ slope: 0, intercept: 4, rSquared: 1 });
  });
});

// Olive 2004, AES convention paper 6190; values derived from the formula.
describe('predicted preference', () => {
  it.each([
    [0, 0, 20, 1, 9.402561],
    [0.3, 0.2, 40, 0.9, 6.528121],
    [0, 0, 14.535, 1, 10],
  ])('of NBD %f and %f, %f Hz and SM %f is %f', (nbdOnAxis, nbdInRoom, lowFrequencyHz, smInRoom, rating) => {
    expect(preferenceRating({ nbdOnAxis, nbdInRoom, lowFrequencyHz, smInRoom })).toBeCloseTo(rating, 4);
  });

  it('takes 0.125 dB as the narrow band deviation of 1 dB per octave', () => {
    // By hand: ten midpoints of half an octave lie 0.025, 0.075 ... 0.225 dB from the middle.
    expect(narrowBandDeviation(grid, tilt)).toBeCloseTo(0.125, 9);
    expect(
      narrowBandDeviation(
        grid,
        tilt.map(() => 80),
      ),
    ).toBeCloseTo(0, 9);
  });

  it('takes 1 as the smoothness of a tilt and 0.9006 with 1 dB of ripple', () => {
    expect(smoothness(grid, tilt)).toBeCloseTo(1, 12);
    const dense = Array.from({ length: 2001 }, (_, k) => 100 * 160 ** (k / 2000));
    const rippled = dense.map((hz) => -Math.log2(hz) + Math.sin(2 * Math.PI * Math.log2(hz / 100)));
    // 0.900639 is the derived value; how the ends are sampled moves the fourth digit.
    expect(Math.abs((smoothness(dense, rippled) ?? 0) - 0.900639)).toBeLessThan(3e-4);
  });

  it('finds the extension where sound power lies 6 dB under the listening window', () => {
    const window = Array.from(grid, () => 86);
    const power = Array.from(grid, (hz) => 84 - 24 * Math.max(0, Math.log2(80 / hz)));
    // 84 - 24 log2(80/f) = 80 at f = 80 x 2^(-4/24).
    expect(lowFrequencyExtensionHz(grid, window, power)).toBeCloseTo(80 * 2 ** (-4 / 24), 1);
    expect(lowFrequencyExtensionHz(grid, window, window)).toBe(20);
  });

  it('rates an ideal response by its bass alone', () => {
    const flat = Array.from(grid, () => 86);
    const inRoom = Array.from(grid, (hz) => 84 - 0.5 * Math.log2(hz / 1000));
    const found = predictedPreference(grid, {
      onAxis: flat,
      listeningWindow: flat,
      soundPower: flat,
      estimatedInRoom: inRoom,
    });
    // NBD of half a dB per octave is 0.0625; SM 1; extension 20 Hz.
    expect(found?.rating).toBeCloseTo(12.69 - 2.99 * 0.0625 - 4.31 * Math.log10(20) + 2.32, 6);
    expect(found?.ratingIgnoringBass).toBeCloseTo(12.69 - 2.99 * 0.0625 - 4.31 * Math.log10(14.5) + 2.32, 6);
  });

  it('is not given where a curve or the band is missing', () => {
    expect(predictedPreference(grid, { onAxis: tilt })).toBeUndefined();
    const short = logGridHz(200, 20_000);
    const flat = Array.from(short, () => 80);
    const curves = { onAxis: flat, listeningWindow: flat, soundPower: flat, estimatedInRoom: flat };
    expect(predictedPreference(short, curves)).toBeUndefined();
  });
});
