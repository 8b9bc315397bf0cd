import { describe, expect, it } from 'vitest';
import { readSweep, type SweepReading } from './readSweep.js';
import { sweepDistortion, type SweepDistortion } from './sweepDistortion.js';
import {
  biquadsDb,
  type Chain,
  exponentialSweep,
  highPass,
  peaking,
  playThrough,
} from './testing/playThrough.js';
import { thdOverTotal } from './thdOverTotal.js';

/**
 * y = x + 0.02 x^2 + 0.01 x^3 on a unit sine gives H1 1.0075, H2 0.0100, H3 0.0025 exactly: x^2 = (1 - cos 2t) / 2
 * and x^3 = (3 sin t - sin 3t) / 4, the Chebyshev identities.
 */
const polynomial = (x: number): number => x + 0.02 * x ** 2 + 0.01 * x ** 3;
const H1 = 1.0075;
const HARMONICS: Record<number, number> = { 2: 0.01, 3: 0.0025 };

const RATE = 48_000;
const flatMicrophone = (): number => 0;
const loudspeaker = [
  highPass(45, 0.5412, RATE),
  highPass(45, 1.3066, RATE),
  peaking(900, 4, 3, RATE),
  peaking(3500, -5, 1.5, RATE),
];

function measure(seconds: number, chain: Partial<Chain>, fromHz = 20, toHz = 20_000): SweepReading {
  const samples = playThrough(exponentialSweep(fromHz, toHz, seconds), seconds, {
    sampleRateHz: RATE,
    device: polynomial,
    silenceAfter: 0.5,
    ...chain,
  });
  const sampleRateHz = chain.sampleRateHz ?? RATE;
  const sweep = { type: 'exponential-sweep', fromHz, toHz, seconds, sampleRateHz: RATE } as const;
  const reading = readSweep({ samples, sampleRateHz }, sweep, new Map());
  if (typeof reading === 'string') throw new Error(reading);
  return reading;
}

/** The largest error in dB of harmonic `order`'s percentage, from f1 (1 + 2.5 / sqrt(f1 L)) up. */
function worstDb(
  found: SweepDistortion,
  order: number,
  seconds: number,
  biquads: Chain['biquads'] = [],
): number {
  const firstHz = 20 * (1 + 2.5 / Math.sqrt((20 * seconds) / Math.log(1000)));
  let worst = 0;
  found.frequencyHz.forEach((hz, i) => {
    if (hz < firstHz || order * hz > 0.42 * RATE) return;
    const exact =
      20 * Math.log10(HARMONICS[order] / H1) +
      biquadsDb(biquads, order * hz, RATE) -
      biquadsDb(biquads, hz, RATE);
    worst = Math.max(worst, Math.abs(20 * Math.log10(found.harmonicsPercent[order][i] / 100) - exact));
  });
  return worst;
}

function distortionOf(reading: SweepReading): SweepDistortion {
  const found = sweepDistortion(reading, flatMicrophone);
  if (!found) throw new Error('no distortion');
  return found;
}

describe('sweepDistortion', () => {
  it.each([
    ['plain', 5, {}],
    ['two seconds only', 2, {}],
    ['ten seconds', 10, {}],
    ['with a time offset', 5, { silenceBefore: 0.7317 }],
    ['with 200 ppm of clock drift', 5, { silenceBefore: 0.2, clockRatio: 1.0002 }],
    ['with -350 ppm of clock drift', 8, { silenceBefore: 0.2, clockRatio: 0.99965 }],
    ['quiet', 5, { gain: 0.003 }],
  ] as const)("finds the polynomial's harmonics within 0.1 dB: %s", (_, seconds, chain) => {
    const found = distortionOf(measure(seconds, chain));
    expect(worstDb(found, 2, seconds)).toBeLessThan(0.1);
    expect(worstDb(found, 3, seconds)).toBeLessThan(0.1);
    const middle = found.frequencyHz.findIndex((hz) => hz > 1000);
    expect(found.harmonicsPercent[4][middle]).toBeLessThan(0.0005);
    expect(found.harmonicsPercent[5][middle]).toBeLessThan(0.0005);
    expect(found.thdPercent[middle]).toBeCloseTo(1.0231, 3);
  });

  it('finds them behind a loudspeaker-like filter, with offset, drift and noise', () => {
    const reading = measure(6, {
      biquads: loudspeaker,
      silenceBefore: 0.31,
      clockRatio: 1.0002,
      noise: 1e-5,
    });
    const found = distortionOf(reading);
    // Below 40 Hz the device itself falls by 24 dB an octave, faster than the window resolves.
    expect(worstDb(found, 2, 6, loudspeaker)).toBeLessThan(0.15);
    expect(worstDb(found, 3, 6, loudspeaker)).toBeLessThan(0.15);
    expect((reading.clockRatio - 1) * 1e6).toBeGreaterThan(180);
    expect((reading.clockRatio - 1) * 1e6).toBeLessThan(220);
    found.frequencyHz.forEach((hz, i) => {
      if (hz < 30) return;
      const exact = 20 * Math.log10(H1) + biquadsDb(loudspeaker, hz, RATE);
      expect(Math.abs(found.fundamentalDb[i] - exact)).toBeLessThan(0.1);
    });
  });

  it('follows a device whose drive varies with frequency: a filter ahead of the polynomial', () => {
    // A sine of amplitude a gives H1 a + 0.0075 a^3, H2 0.01 a^2, H3 0.0025 a^3 (the same identities).
    const ahead = [highPass(70, 0.7, RATE), peaking(2500, -8, 1, RATE)];
    const linear = playThrough(exponentialSweep(20, 20_000, 5), 5, {
      sampleRateHz: RATE,
      biquads: ahead,
      silenceAfter: 0.5,
    });
    const sweep = {
      type: 'exponential-sweep',
      fromHz: 20,
      toHz: 20_000,
      seconds: 5,
      sampleRateHz: RATE,
    } as const;
    const reading = readSweep({ samples: linear.map(polynomial), sampleRateHz: RATE }, sweep, new Map());
    if (typeof reading === 'string') throw new Error(reading);
    const found = distortionOf(reading);
    const errors = [...found.frequencyHz].flatMap((hz, i) => {
      if (hz < 45) return [];
      const a = 10 ** (biquadsDb(ahead, hz, RATE) / 20);
      const first = a + 0.0075 * a ** 3;
      const exact = { 2: (0.01 * a ** 2) / first, 3: (0.0025 * a ** 3) / first };
      return ([2, 3] as const).map((n) =>
        Math.abs(20 * Math.log10(found.harmonicsPercent[n][i] / 100 / exact[n])),
      );
    });
    expect(Math.max(...errors)).toBeLessThan(0.1);
  });

  it('copes with a sweep that was faded in and out, and with a room', () => {
    const played = exponentialSweep(20, 20_000, 5);
    const faded = (t: number): number => {
      const edge = Math.min(t / 0.05, (5 - t) / 0.02, 1);
      return played(t) * Math.sin((Math.PI / 2) * Math.max(0, edge)) ** 2;
    };
    const dry = playThrough(faded, 5, { sampleRateHz: RATE, device: polynomial, silenceAfter: 0.6 });
    const echo = (n: number, delay: number, gain: number): number => gain * (dry[n - delay] ?? 0);
    const samples = dry.map(
      (value, n) => value + echo(n, 613, 0.3) - echo(n, 2900, 0.2) + echo(n, 7001, 0.1),
    );
    const sweep = {
      type: 'exponential-sweep',
      fromHz: 20,
      toHz: 20_000,
      seconds: 5,
      sampleRateHz: RATE,
    } as const;
    const reading = readSweep({ samples, sampleRateHz: RATE }, sweep, new Map());
    if (typeof reading === 'string') throw new Error(reading);
    const found = distortionOf(reading);
    const room = (hz: number): number => {
      const turn = (2 * Math.PI * hz) / RATE;
      const part = (f: (x: number) => number): number =>
        0.3 * f(613 * turn) - 0.2 * f(2900 * turn) + 0.1 * f(7001 * turn);
      return Math.hypot(1 + part(Math.cos), part(Math.sin));
    };
    // Echoes comb finer than the grid; their mean over an octave is what both sides can be held to.
    for (const centreHz of [60, 125, 250, 500, 1000, 2000, 4000]) {
      const near = [...found.frequencyHz.keys()].filter(
        (i) => Math.abs(Math.log2(found.frequencyHz[i] / centreHz)) < 0.5,
      );
      const rms = (values: readonly number[]): number => Math.hypot(...values) / Math.sqrt(values.length);
      const measured = rms(
        near.map((i) => found.harmonicsPercent[2][i] * 10 ** (found.fundamentalDb[i] / 20)),
      );
      const fine = Array.from({ length: 4000 }, (_, k) => centreHz * 2 ** (k / 4000 - 0.5));
      const exact = rms(fine.map((hz) => room(2 * hz)));
      expect(Math.abs(20 * Math.log10(measured / exact)), `${centreHz} Hz`).toBeLessThan(0.3);
    }
  });

  it('invents no distortion for a linear device, down to its first frequency', () => {
    const found = distortionOf(measure(5, { device: (x) => x, biquads: loudspeaker, silenceBefore: 0.1 }));
    found.frequencyHz.forEach((hz, i) => {
      // The device itself is 27 dB down at 20 Hz, which magnifies what is left.
      expect(found.thdPercent[i], `${hz} Hz`).toBeLessThan(hz < 40 ? 0.25 : 0.01);
    });
  });

  it('goes on above the end of a short-range sweep, as far as the recording reaches', () => {
    const found = distortionOf(measure(6, { silenceBefore: 0.1 }, 15, 300));
    const last = found.frequencyHz.length - 8;
    expect(found.frequencyHz[found.frequencyHz.length - 1]).toBeGreaterThan(290);
    expect(20 * Math.log10(found.harmonicsPercent[3][last] / ((100 * 0.0025) / H1))).toBeCloseTo(0, 1);
  });

  it('corrects each harmonic for the microphone at its own frequency', () => {
    const reading = measure(5, {});
    const found = sweepDistortion(reading, (hz) => (hz > 1500 ? 6 : 0));
    const at = found?.frequencyHz.findIndex((hz) => hz > 1000) ?? -1;
    expect(20 * Math.log10((found?.harmonicsPercent[2][at] ?? 0) / ((100 * 0.01) / H1))).toBeCloseTo(-6, 2);
    const above = found?.frequencyHz.findIndex((hz) => hz > 3000) ?? -1;
    expect(20 * Math.log10((found?.harmonicsPercent[2][above] ?? 0) / ((100 * 0.01) / H1))).toBeCloseTo(0, 2);
  });

  it('gives 0 for harmonics beyond the band of the recording, and stops where the third goes', () => {
    const found = distortionOf(measure(3, {}));
    const lastHz = found.frequencyHz[found.frequencyHz.length - 1];
    expect(lastHz * 3).toBeLessThan(0.43 * RATE);
    expect(found.harmonicsPercent[5][found.frequencyHz.length - 1]).toBe(0);
    for (const values of Object.values(found.harmonicsPercent))
      expect(values.length).toBe(found.frequencyHz.length);
  });
});

describe('readSweep', () => {
  const sweep = {
    type: 'exponential-sweep',
    fromHz: 20,
    toHz: 20_000,
    seconds: 3,
    sampleRateHz: RATE,
  } as const;

  it('reads a recording made at another sample rate than the player', () => {
    const samples = playThrough(exponentialSweep(20, 20_000, 3), 3, {
      sampleRateHz: 96_000,
      silenceBefore: 0.2,
    });
    const reading = readSweep({ samples, sampleRateHz: 96_000 }, sweep, new Map());
    expect(reading).toMatchObject({ isComplete: true, bandHz: [20, 20_000] });
  });

  it('knows how much of the sweep a recording holds', () => {
    const whole = playThrough(exponentialSweep(20, 20_000, 3), 3, { sampleRateHz: RATE });
    const late = readSweep({ samples: whole.subarray(0.5 * RATE), sampleRateHz: RATE }, sweep, new Map());
    const early = readSweep({ samples: whole.subarray(0, 2.6 * RATE), sampleRateHz: RATE }, sweep, new Map());
    if (typeof late === 'string' || typeof early === 'string') throw new Error('not read');
    // f(t) = f1 exp(t / L): 0.5 s in, 63.2 Hz; 2.6 s in, 7962 Hz.
    expect(late.isComplete || early.isComplete).toBe(false);
    expect(late.bandHz[0] / 63.246).toBeCloseTo(1, 2);
    expect(early.bandHz[1] / 7962.1).toBeCloseTo(1, 2);
  });

  it('refuses what does not hold the stated sweep', () => {
    const noise = playThrough(() => 0, 3, { sampleRateHz: RATE, noise: 0.1 });
    expect(readSweep({ samples: noise, sampleRateHz: RATE }, sweep, new Map())).toBe('not-found');
    const other = playThrough(exponentialSweep(20, 20_000, 2.5), 2.5, {
      sampleRateHz: RATE,
      silenceAfter: 1,
    });
    expect(readSweep({ samples: other, sampleRateHz: RATE }, sweep, new Map())).toBe('not-found');
    expect(readSweep({ samples: noise.subarray(0, 20_000), sampleRateHz: RATE }, sweep, new Map())).toBe(
      'too-short',
    );
  });
});

describe('thdOverTotal', () => {
  it('is THD_F / sqrt(1 + THD_F^2)', () => {
    expect(thdOverTotal(100)).toBeCloseTo(100 / Math.SQRT2, 12);
    expect(thdOverTotal(1.0231)).toBeCloseTo(1.0230465, 6);
    expect(thdOverTotal(0)).toBe(0);
  });
});
