/** The arithmetic of `docs/load.md`: every number that is computed there follows from those that stand above it. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { evaluate } from './formula.js';

const SIZES = [10, 1000, 100_000];
/** Numbers are said to two or three digits. */
const TOLERANCE = 0.05;

const page = readFileSync(path.resolve(import.meta.dirname, '../../docs/load.md'), 'utf8');
const numberIn = (cell: string): number => Number(cell.replaceAll(',', ''));
/** Rows that begin with a name: its number, or its formula and what comes out of it. */
const rows = page
  .split('\n')
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .filter(([, name = '']) => /^`\w+`$/.test(name))
  .map(([, name, first, ...rest]) => ({ name: name.slice(1, -1), first, rest }));

describe('the load model', () => {
  it('names everything once', () => {
    const names = rows.map(({ name }) => name);
    expect(names).toEqual([...new Set(names)]);
    expect(names.length).toBeGreaterThan(40);
  });

  it('follows from its own numbers', () => {
    const known = new Map<string, number>();
    const wrong: string[] = [];
    for (const { name, first, rest } of rows) {
      const formula = /^`(.+)`$/.exec(first)?.[1] ?? first.replaceAll(',', '');
      const sizes = /\bteams\b/.test(formula) ? SIZES : [1];
      for (const [at, teams] of sizes.entries()) {
        const value = evaluate(formula, new Map([...known, ['teams', teams]]));
        const said = formula === first.replaceAll(',', '') ? value : numberIn(rest[at] ?? '');
        if (!(Math.abs(said / value - 1) < TOLERANCE))
          wrong.push(`${name}: ${rest[at]} is said, it is ${value}`);
        if (sizes.length === 1) known.set(name, value);
      }
    }
    expect(wrong).toEqual([]);
  });
});
