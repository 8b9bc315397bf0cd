import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NumberReader } from './NumberReader.js';

const read = (cell: string) => new NumberReader().read(`;${cell};9`, 1, 1 + cell.length);

describe('NumberReader', () => {
  it('gives the double that Number() gives, however the number is written', () => {
    const written = fc
      .tuple(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.nat(20),
        fc.constantFrom('plain', 'fixed', 'exponent'),
      )
      .map(([value, digits, form]) => {
        if (form === 'fixed' && Math.abs(value) < 1e20) return value.toFixed(digits);
        return form === 'exponent' ? value.toExponential(digits) : String(value);
      });
    fc.assert(
      fc.property(written, (cell) => {
        expect(read(cell)).toBe(Number(cell));
        expect(read(cell.replace('.', ','))).toBe(Number(cell));
        expect(read(`+${cell.replace(/^-/, '')}`)).toBe(Math.abs(Number(cell)));
      }),
      { numRuns: 2000 },
    );
  });

  it.each([
    ['.5', 0.5],
    ['5.', 5],
    ['\u221210,5', -10.5],
    ['1E3', 1000],
    ['007', 7],
    ['123456789012345678901234567890', 1.2345678901234568e29],
    ['0.1', 0.1],
    ['8.5e-30', 8.5e-30],
  ])('reads %s', (cell, value) => {
    expect(read(cell)).toBe(value);
  });

  it.each([
    '',
    '-',
    '+',
    '.',
    ',',
    '1.2.3',
    '1,000.5',
    '1.000,5',
    '0x10',
    'nan',
    'inf',
    '1e',
    '1e+',
    '1 2',
    '20 Hz',
    '1e3.5',
    '--1',
    '1_000',
    '٣',
  ])('does not take "%s" for a number', (cell) => {
    expect(read(cell)).toBeNaN();
  });

  it('remembers which decimal marks it met', () => {
    const numbers = new NumberReader();
    numbers.read('1,5', 0, 3);
    expect([numbers.sawComma, numbers.sawPoint]).toStrictEqual([true, false]);
    numbers.read('1.5', 0, 3);
    expect([numbers.sawComma, numbers.sawPoint]).toStrictEqual([true, true]);
  });
});
