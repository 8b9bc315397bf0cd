import { describe, expect, it } from 'vitest';
import { bytesWords, count, inSentence, listWords, money, parseMoney, parseNumber } from './numbers.js';

describe('numbers people type', () => {
  it('takes a comma or a point', () => {
    expect(parseNumber('86,5')).toBe(86.5);
    expect(parseNumber(' 4 ')).toBe(4);
    expect(parseNumber('')).toBeNull();
    expect(parseNumber('four')).toBeNaN();
    expect(parseNumber('1.2.3')).toBeNaN();
  });
  it('keeps money in minor units', () => {
    expect(parseMoney('1,250.50')).toBe(125_050);
    expect(parseMoney('0.29')).toBe(29);
    expect(parseMoney('0,29')).toBe(29);
    expect(parseMoney('1,250')).toBe(125_000);
    expect(parseMoney('')).toBeNull();
    expect(parseMoney('12.345')).toBeNaN();
    expect(money(125_050, 'EUR')).toBe('1,250.50 EUR');
  });
});

describe('numbers people read', () => {
  it('sizes', () => {
    expect(bytesWords(1)).toBe('1 byte');
    expect(bytesWords(612)).toBe('612 bytes');
    expect(bytesWords(4096)).toBe('4.1 kB');
    expect(bytesWords(38_000_000)).toBe('38 MB');
  });
  it('counts and lists', () => {
    expect(count(1, 'file')).toBe('1 file');
    expect(count(0, 'entry', 'entries')).toBe('0 entries');
    expect(listWords(['a', 'b', 'c'])).toBe('a, b and c');
    expect(listWords([])).toBe('');
    expect(inSentence('Distortion at 86 dB')).toBe('distortion at 86 dB');
  });
});
