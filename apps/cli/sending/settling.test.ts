import { describe, expect, it } from 'vitest';
import { Settling } from './settling.js';

describe('whether a file is whole', () => {
  const begin = 1_800_000_000_000;

  it('waits until nothing has changed for the whole of the time', () => {
    const files = new Settling(3000);
    const look = (bytes: number, atMs: number) =>
      files.look('h+000.csv', { bytes, modifiedMs: begin + atMs }, begin + atMs);
    expect([look(0, 0), look(100, 1000), look(200, 2000)]).toEqual([false, false, false]);
    const still = (atMs: number) =>
      files.look('h+000.csv', { bytes: 200, modifiedMs: begin + 2000 }, begin + atMs);
    expect([still(3000), still(4900), still(5000)]).toEqual([false, false, true]);
    // Overwritten with the same number of bytes: only the time tells.
    expect(files.look('h+000.csv', { bytes: 200, modifiedMs: begin + 6000 }, begin + 6000)).toBe(false);
  });

  it('takes a file that lay there long before at once, but none without content or from the future', () => {
    const files = new Settling(3000);
    expect(files.look('old.csv', { bytes: 10, modifiedMs: begin - 60_000 }, begin)).toBe(true);
    expect(files.look('empty.csv', { bytes: 0, modifiedMs: begin - 60_000 }, begin)).toBe(false);
    expect(files.look('ahead.csv', { bytes: 10, modifiedMs: begin + 60_000 }, begin)).toBe(false);
    expect(files.look('ahead.csv', { bytes: 10, modifiedMs: begin + 60_000 }, begin + 3000)).toBe(true);
  });

  it('begins anew after a file was seen to change under way', () => {
    const files = new Settling(3000);
    const seen = { bytes: 10, modifiedMs: begin };
    files.look('h.csv', seen, begin);
    expect(files.look('h.csv', seen, begin + 3000)).toBe(true);
    files.forget('h.csv');
    expect(files.look('h.csv', seen, begin + 4000)).toBe(false);
  });
});
