import { describe, expect, it } from 'vitest';
import { signalOf, spectrumOf } from './fourier.js';
import { seededRandom } from './random.js';

describe('fourier', () => {
  it('agrees with the defining sum', () => {
    const random = seededRandom(3);
    const signal = Float64Array.from({ length: 64 }, () => random() - 0.5);
    const spectrum = spectrumOf(signal, 64);
    for (let bin = 0; bin < 64; bin++) {
      let re = 0;
      let im = 0;
      signal.forEach((value, n) => {
        re += value * Math.cos((2 * Math.PI * bin * n) / 64);
        im -= value * Math.sin((2 * Math.PI * bin * n) / 64);
      });
      expect(spectrum.re[bin]).toBeCloseTo(re, 11);
      expect(spectrum.im[bin]).toBeCloseTo(im, 11);
    }
  });

  it('comes back to the signal it started from', () => {
    const random = seededRandom(4);
    const signal = Float64Array.from({ length: 4096 }, () => random() - 0.5);
    const back = signalOf(spectrumOf(signal, 4096), 4096);
    signal.forEach((value, n) => expect(back[n]).toBeCloseTo(value, 11));
  });
});
