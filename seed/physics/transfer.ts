import {
  add,
  complex,
  divide,
  fromDecibels,
  multiply,
  ONE,
  polynomialAt,
  scale,
  type Complex,
} from './complex.js';

/** Output over input at one frequency, hertz. */
export type Transfer = (frequencyHz: number) => Complex;

export type Pass = 'lowpass' | 'highpass';

/** A ratio of real polynomials in s / (2 pi cornerHz), lowest power first. */
export function rational(
  numerator: readonly number[],
  denominator: readonly number[],
  cornerHz: number,
): Transfer {
  return (frequencyHz) => {
    const w = frequencyHz / cornerHz;
    return divide(polynomialAt(numerator, w), polynomialAt(denominator, w));
  };
}

export function cascade(transfers: readonly Transfer[]): Transfer {
  return (frequencyHz) => {
    let value = ONE;
    for (const transfer of transfers) value = multiply(value, transfer(frequencyHz));
    return value;
  };
}

export function gain(levelDb: number): Transfer {
  const value = complex(fromDecibels(levelDb));
  return () => value;
}

export const inverted: Transfer = () => complex(-1);

/** A pure delay; negative seconds advance. */
export function delay(seconds: number): Transfer {
  return (frequencyHz) => {
    const angle = -2 * Math.PI * frequencyHz * seconds;
    return complex(Math.cos(angle), Math.sin(angle));
  };
}

/**
 * Butterworth filter of any order, -3.01 dB at the corner: poles evenly spread on the unit circle
 * (Butterworth 1930, "On the theory of filter amplifiers").
 */
export function butterworth(pass: Pass, order: number, cornerHz: number): Transfer {
  const sections: Transfer[] = [];
  for (let pair = 0; pair < Math.floor(order / 2); pair++) {
    const damping = 2 * Math.sin(((2 * pair + 1) * Math.PI) / (2 * order));
    sections.push(rational(pass === 'lowpass' ? [1] : [0, 0, 1], [1, damping, 1], cornerHz));
  }
  if (order % 2 === 1) sections.push(rational(pass === 'lowpass' ? [1] : [0, 1], [1, 1], cornerHz));
  return cascade(sections);
}

/**
 * Linkwitz-Riley filter of even order: a Butterworth filter of half the order, twice (Linkwitz 1976,
 * "Active Crossover Networks for Noncoincident Drivers", JAES 24). -6.02 dB at the corner. Orders 4 and 8 sum
 * flat as they stand; of orders 2 and 6 one branch must be inverted.
 */
export function linkwitzRiley(pass: Pass, order: 2 | 4 | 6 | 8, cornerHz: number): Transfer {
  const half = butterworth(pass, order / 2, cornerHz);
  return (frequencyHz) => {
    const value = half(frequencyHz);
    return multiply(value, value);
  };
}

/** A second-order peak (or dip) with `gainDb` at its centre; the analog prototype of the RBJ Audio EQ Cookbook. */
export function peaking(centreHz: number, gainDb: number, q: number): Transfer {
  const a = 10 ** (gainDb / 40);
  return rational([1, a / q, 1], [1, 1 / (a * q), 1], centreHz);
}

/** First-order shelf: 0 dB far below, `gainDb` far above, half of it at `centreHz`. */
export function highShelf(centreHz: number, gainDb: number): Transfer {
  const root = 10 ** (gainDb / 40);
  return rational([1, root], [1, 1 / root], centreHz);
}

/** A resonator's band-pass: 1 at its centre, falling 6 dB/octave on both sides. */
export function resonator(centreHz: number, q: number): Transfer {
  return rational([0, 1 / q], [1, 1 / q, 1], centreHz);
}

/** `1 + strength * transfer`: a small part coupled into a larger whole. */
export function coupled(strength: number, transfer: Transfer): Transfer {
  return (frequencyHz) => add(ONE, scale(transfer(frequencyHz), strength));
}
