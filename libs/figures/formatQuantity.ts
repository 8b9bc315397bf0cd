/** Numbers as people read them: at most three significant digits, a true minus sign, the unit always. */

const DECIMALS_AT_MOST: Readonly<Record<string, number>> = { dB: 1, 'dB SPL': 1, '°': 0, 'dB/octave': 2 };

/**
 * `value` rounded to three significant digits and at most `decimals` places; a sign before positives if `signed`.
 * Final zeros stay only where they say something: 86.04 reads `86.0`, a nominal 86 reads `86`.
 */
export function formatNumber(value: number, decimals = 3, signed = false): string {
  const rounded = Number(value.toPrecision(3));
  const magnitude = Math.abs(rounded);
  const places = magnitude === 0 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(magnitude)));
  const whole = magnitude.toFixed(Math.min(places, decimals));
  if (Number(whole) === 0) return '0';
  const isExact = Math.abs(Number(whole) - Math.abs(value)) <= Math.abs(value) * 1e-9;
  const fixed = isExact && whole.includes('.') ? whole.replace(/\.?0+$/, '') : whole;
  const sign = rounded < 0 ? '\u2212' : signed ? '+' : '';
  return sign + fixed;
}

/** Such as `86.4 dB`, `−3.2 dB`, `0.031 %`, `4.27 Ω`; no space before a degree sign. */
export function formatQuantity(value: number, unit: string, signed = false): string {
  const number = formatNumber(value, DECIMALS_AT_MOST[unit] ?? 4, signed);
  return unit === '°' ? `${number}°` : unit === '' ? number : `${number} ${unit}`;
}

/** Such as `31.5 Hz` or `1.26 kHz`. */
export function formatFrequency(hz: number): string {
  const rounded = Number(hz.toPrecision(3));
  return rounded >= 1000 ? `${trimmed(rounded / 1000)} kHz` : `${trimmed(rounded)} Hz`;
}

/** Such as `40\u201360 Hz`; one frequency when both read alike. */
export function formatFrequencyRange(fromHz: number, toHz: number): string {
  const from = formatFrequency(fromHz);
  const to = formatFrequency(toHz);
  if (from === to) return from;
  const [number, unit] = from.split(' ');
  return to.endsWith(` ${unit ?? ''}`) ? `${number ?? ''}\u2013${to}` : `${from}\u2013${to}`;
}

function trimmed(value: number): string {
  return String(Number(value.toPrecision(3)));
}
