/** The table of security requirements is complete, and what it says of tests is true. */
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import papaparse from 'papaparse';
import { describe, expect, it } from 'vitest';
// Ids and levels of OWASP ASVS 5.0.0, levels 1 and 2.
import ids from './asvs-5.0.0-ids.json' with { type: 'json' };

const root = path.resolve(import.meta.dirname, '..', '..');
const read = (file: string) => readFileSync(path.join(root, file), 'utf8');

interface Row {
  readonly id: string;
  readonly level: string;
  readonly requirement: string;
  readonly applies: string;
  readonly state: string;
  readonly 'test file': string;
  readonly test: string;
  readonly remark: string;
}
const { data: rows, errors } = papaparse.parse<Row>(read('docs/asvs.csv'), {
  header: true,
  skipEmptyLines: true,
});

describe('the table of security requirements', () => {
  it('has each requirement once, with its level, in the standard’s order', () => {
    expect(errors).toEqual([]);
    expect(rows.map(({ id, level }) => [id, Number(level)])).toEqual(Object.entries(ids));
  });

  it('says of each whether it applies, and then a test or what is there instead', () => {
    const wrong = rows.filter(({ requirement, applies, state, test, remark, ...row }) => {
      if (requirement.length < 3) return true;
      if (applies === 'no') return state !== '' || test !== '' || remark === '';
      if (state === 'tested') return test === '' || row['test file'] === '';
      return !['not tested', 'not met'].includes(state) || test !== '' || remark === '';
    });
    expect(wrong).toEqual([]);
  });

  it('names tests that are there', () => {
    const lost = rows
      .filter(({ state }) => state === 'tested')
      .filter(({ test, 'test file': file }) => {
        if (!existsSync(path.join(root, file))) return true;
        return (
          !["'", '`', '"'].some((quote) => read(file).includes(`(${quote}${test}${quote}`)) &&
          !new RegExp(`\\(\\s*['"\`]${escaped(test)}['"\`],`).test(read(file))
        );
      })
      .map(({ id, test }) => `${id}: ${test}`);
    expect(lost).toEqual([]);
  });

  it('is counted truly in docs/security.md', () => {
    const count = (applies: string, state: string | undefined, level?: number) =>
      rows.filter(
        (row) =>
          (applies === '' || row.applies === applies) &&
          (state === undefined || row.state === state) &&
          (level === undefined || Number(row.level) === level),
      ).length;
    const lines: [words: string, applies: string, state?: string][] = [
      ['requirements', ''],
      ['do not apply', 'no'],
      ['apply, a test shows it', 'yes', 'tested'],
      ['apply, met but without a test', 'yes', 'not tested'],
      ['apply, **not met**', 'yes', 'not met'],
    ];
    const page = read('docs/security.md').replaceAll(/ +/g, ' ');
    for (const [words, applies, state] of lines) {
      const [first, second, both] = [1, 2, undefined].map((level) => count(applies, state, level));
      expect(page).toContain(`| ${words} | ${first} | ${second} | ${both} |`);
    }
  });
});

const escaped = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);
