/**
 * Passwords that are tried first, refused when one is chosen. There are no rules of composition: only what is common,
 * repeated, counted up, or made of the names at hand is refused (ASVS 5.0.0, 6.2.4, 6.2.11 and 6.2.12).
 */
import { dictionary } from '@zxcvbn-ts/language-common';
import { refuse } from '../http/refusals.js';

/** Some 49,000 from published collections of leaked ones, kept by the package; in lower case. */
const common: ReadonlySet<string> = new Set(dictionary['passwords-common']);
const FEWEST_OWN_LETTERS = 4;
const SEQUENCES = ['abcdefghijklmnopqrstuvwxyz', '01234567890123456789', 'qwertyuiopasdfghjklzxcvbnm'];

/** @param names of the product, the team and the person: words that whoever guesses knows */
export function refuseWeakPassword(password: string, names: readonly string[]): void {
  const why = weakness(password, names);
  if (!why) return;
  throw refuse.wrong('weak-password', `This password is ${why}.`, 'A few unrelated words work well.');
}

/** @returns what is weak about it; undefined for any other password */
export function weakness(password: string, names: readonly string[]): string | undefined {
  const plain = password.normalize('NFKC').toLowerCase();
  // `password1234!` is tried right after `password`.
  const core = plain.replaceAll(/^[^\p{L}]+|[^\p{L}]+$/gu, '');
  if (common.has(plain) || common.has(core) || common.has(unit(plain))) return 'one of the most common ones';
  if (unit(plain).length <= FEWEST_OWN_LETTERS) return 'a short piece repeated';
  if (SEQUENCES.some((row) => runs(row, plain))) return 'a row of neighbouring keys or letters';
  const known = ['sojourn', ...names.flatMap(wordsOf)];
  const left = known.reduce((rest, word) => rest.replaceAll(word, ''), plain).replaceAll(/[^\p{L}]/gu, '');
  const held = known.some((word) => plain.includes(word));
  return held && left.length < FEWEST_OWN_LETTERS ? 'made of names that others know' : undefined;
}

const wordsOf = (name: string): string[] =>
  name
    .normalize('NFKC')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word.length > 2);

/** The piece that the whole is a repetition of. */
function unit(text: string): string {
  const at = (text + text).indexOf(text, 1);
  return text.slice(0, at);
}

/** All of it is neighbours of the row, up or down. */
function runs(row: string, text: string): boolean {
  const back = Array.from(row).toReversed().join('');
  return row.includes(text) || back.includes(text);
}
