/**
 * A remark in one typed line: `boomy 4 left cello` or `too little 2-4k`. Words of the list say what and where, a single
 * digit how strongly, `+` and `-` (or `more`, `less`) which way, `left` and `right` the side; the rest are its words.
 */
import { descriptors, remarkFrom, type Remark } from './descriptors.js';
import { rounded } from './frequencyScale.js';

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)\s*(k?)(?:hz)?`;
const RANGE = new RegExp(String.raw`(?:^|\s)${NUMBER}\s*[-–]\s*${NUMBER}(?=\s|$)`, 'i');
const ONE = new RegExp(String.raw`(?:^|\s)(\d+(?:[.,]\d+)?)\s*(k(?:hz)?|hz)(?=\s|$)`, 'i');

export function quickRemark(line: string, id: string, at: string): Remark {
  const { band, rest: withoutBand } = takeBand(line.trim());
  const found = descriptors
    .toSorted((a, b) => b.word.length - a.word.length)
    .find(({ word }) => new RegExp(String.raw`\b${word}\b`, 'i').test(withoutBand));
  const words = (
    found ? withoutBand.replace(new RegExp(String.raw`\b${found.word}\b`, 'i'), ' ') : withoutBand
  )
    .split(/\s+/)
    .filter((word) => word !== '');
  const remark: Remark = { ...remarkFrom(found ?? null, id), at, ...band };
  const kept: string[] = [];
  for (const word of words) if (!takeWord(remark, word.toLowerCase())) kept.push(word);
  return { ...remark, text: kept.join(' ').trim() };
}

function takeWord(remark: Remark, word: string): boolean {
  if (/^[1-5]$/.test(word)) remark.severity = Number(word);
  else if (/^(\+|more|excess)$/.test(word)) remark.sign = 'excess';
  else if (/^(-|−|less|lacks?)$/.test(word)) remark.sign = 'lack';
  else if (word === 'left' || word === 'right') remark.side = word;
  else return false;
  return true;
}

function takeBand(line: string): { band: Partial<Pick<Remark, 'fromHz' | 'toHz'>>; rest: string } {
  const range = RANGE.exec(line);
  if (range) {
    const [all, low = '', lowUnit = '', high = '', highUnit = ''] = range;
    const to = hz(high, highUnit);
    const from = hz(low, lowUnit === '' ? highUnit : lowUnit);
    // `1-5` is no range anybody hears.
    if (to >= 20) {
      const [fromHz, toHz] = [Math.min(from, to), Math.max(from, to)].map(rounded);
      return { band: { fromHz, toHz }, rest: line.replace(all, ' ') };
    }
  }
  const one = ONE.exec(line);
  if (!one) return { band: {}, rest: line };
  const [all, number = '', unit = ''] = one;
  const middle = hz(number, unit.toLowerCase().startsWith('k') ? 'k' : '');
  return {
    band: { fromHz: rounded(middle / 2 ** (1 / 3)), toHz: rounded(middle * 2 ** (1 / 3)) },
    rest: line.replace(all, ' '),
  };
}

const hz = (digits: string, unit: string): number =>
  Number(digits.replace(',', '.')) * (unit.toLowerCase() === 'k' ? 1000 : 1);
