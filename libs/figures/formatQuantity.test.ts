import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatFrequency, formatFrequencyRange, formatNumber, formatQuantity } from './formatQuantity.js';

describe('formatQuantity', () => {
  it.each([
    [86.42, 'dB', '86.4 dB'],
    [86.04, 'dB', '86.0 dB'],
    [86, 'dB', '86 dB'],
    [104.37, 'dB', '104 dB'],
    [-3.24, 'dB', '\u22123.2 dB'],
    [0.0312, '%', '0.0312 %'],
    [4.2671, 'Ω', '4.27 Ω'],
    [63.4, '°', '63°'],
    [1234.5, 'mm', '1230 mm'],
    [-0.004, 'dB', '0 dB'],
    [0, '', '0'],
  ])('%f %s reads %s', (value, unit, text) => {
    expect(formatQuantity(value, unit)).toBe(text);
  });

  it('puts a sign before a departure', () => {
    expect(formatQuantity(2.4, 'dB', true)).toBe('+2.4 dB');
    expect(formatQuantity(-2.4, 'dB', true)).toBe('\u22122.4 dB');
    expect(formatQuantity(0, 'dB', true)).toBe('0 dB');
  });

  it('never shows more than three significant digits, and stays within half a unit of the third', () => {
    const values = fc.double({ min: -1e5, max: 1e5, noNaN: true, noDefaultInfinity: true });
    fc.assert(
      fc.property(values, (value) => {
        const text = formatNumber(value, 12).replace('\u2212', '-');
        const digits = text
          .replace(/^-?0*\.?0*/, '')
          .replace('.', '')
          .replace(/0+$/, '');
        expect(digits.length).toBeLessThanOrEqual(3);
        const tolerance = Math.max(Math.abs(value) * 0.0051, 1e-12);
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(tolerance);
      }),
    );
  });
});

describe('formatFrequency', () => {
  it.each([
    [31.46, '31.5 Hz'],
    [999.6, '1 kHz'],
    [1258.9, '1.26 kHz'],
    [12_589, '12.6 kHz'],
    [20, '20 Hz'],
  ])('%f reads %s', (hz, text) => {
    expect(formatFrequency(hz)).toBe(text);
  });

  it('says a range with the unit once where both share it', () => {
    expect(formatFrequencyRange(40, 60)).toBe('40\u201360 Hz');
    expect(formatFrequencyRange(800, 1250)).toBe('800 Hz\u20131.25 kHz');
    expect(formatFrequencyRange(1000, 1001)).toBe('1 kHz');
  });
});
