/** Numbers on screen: three significant digits, a true minus, the unit always; the full value stays at hand. */
export {
  formatFrequency,
  formatFrequencyRange,
  formatQuantity,
} from '../../../../libs/figures/formatQuantity.js';

/** The value as it was computed, for the hover. */
export function fullValue(value: number, unit: string): string {
  return unit === '' ? String(value) : `${value} ${unit}`;
}

/** Money from minor units: `1,250.00 EUR`. */
export function money(minor: number, currency: string): string {
  return `${new Intl.NumberFormat('en-GB', { minimumFractionDigits: 2 }).format(minor / 100)} ${currency}`;
}

/** What a person typed for money, in minor units; null when empty, NaN when it is not an amount. */
export function parseMoney(text: string): number | null {
  const typed = text.trim();
  // `12,50` is a decimal comma; `1,250` a thousands mark.
  const plain = /^\d+,\d{1,2}$/.test(typed) ? typed.replace(',', '.') : typed.replaceAll(/[\s,']/g, '');
  if (plain === '') return null;
  return /^\d+(\.\d{1,2})?$/.test(plain) ? Math.round(Number(plain) * 100) : Number.NaN;
}

/** What a person typed for a number, comma or point; null when empty, NaN when it is none. */
export function parseNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  if (plain === '') return null;
  return /^[-+]?\d*\.?\d+(e[-+]?\d+)?$/i.test(plain) ? Number(plain) : Number.NaN;
}

/** A file's size: `612 bytes`, `4.1 kB`, `38 MB`. */
export function bytesWords(bytes: number): string {
  if (bytes < 1000) return `${bytes} byte${bytes === 1 ? '' : 's'}`;
  for (const [size, unit] of [
    [1e9, 'GB'],
    [1e6, 'MB'],
    [1e3, 'kB'],
  ] as const) {
    if (bytes >= size)
      return `${Number((bytes / size).toPrecision(2 + Number(bytes >= 100 * size)))} ${unit}`;
  }
  return `${bytes} bytes`;
}

/** `1 file`, `3 files`. */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function listWords(items: readonly string[]): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1) ?? ''}`;
}

/** For the middle of a sentence: `Distortion at 86 dB` keeps its unit. */
export function inSentence(title: string): string {
  return `${title.charAt(0).toLowerCase()}${title.slice(1)}`;
}

/** Working minutes: `45 min`, `1 h`, `3.5 h`. */
export function minutesWords(minutes: number): string {
  if (minutes < 60) return `${Math.round(minutes)} min`;
  return `${Number((minutes / 60).toFixed(minutes < 600 ? 1 : 0))} h`;
}
