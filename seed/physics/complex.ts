/** A complex number; the demo's transfer functions are evaluated one frequency at a time. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

/** One complex value per frequency of a grid. */
export interface Spectrum {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

export const ONE: Complex = { re: 1, im: 0 };

export function complex(re: number, im = 0): Complex {
  return { re, im };
}

export function add(a: Complex, b: Complex): Complex {
  return { re: a.re + b.re, im: a.im + b.im };
}

export function multiply(a: Complex, b: Complex): Complex {
  return { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
}

export function divide(a: Complex, b: Complex): Complex {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
}

export function scale(a: Complex, factor: number): Complex {
  return { re: a.re * factor, im: a.im * factor };
}

export function magnitude(a: Complex): number {
  return Math.hypot(a.re, a.im);
}

export function polar(radius: number, angleRad: number): Complex {
  return { re: radius * Math.cos(angleRad), im: radius * Math.sin(angleRad) };
}

/** Two impedances side by side. */
export function parallel(a: Complex, b: Complex): Complex {
  return divide(multiply(a, b), add(a, b));
}

/** The value at s = j w of a polynomial with real coefficients, lowest power first. */
export function polynomialAt(coefficients: readonly number[], w: number): Complex {
  let value: Complex = { re: 0, im: 0 };
  for (let power = coefficients.length - 1; power >= 0; power--) {
    value = { re: (coefficients[power] ?? 0) - value.im * w, im: value.re * w };
  }
  return value;
}

export function decibels(ratio: number): number {
  return 20 * Math.log10(ratio);
}

export function fromDecibels(levelDb: number): number {
  return 10 ** (levelDb / 20);
}
