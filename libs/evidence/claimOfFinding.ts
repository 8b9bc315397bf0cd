/** What a finding would sound like if it is heard: where, and as too much or too little. */
import type { Band } from './frequenciesInText.js';
import type { MeasuredFinding } from './types.js';

export interface Expectation {
  readonly band: Band;
  readonly sign: 'excess' | 'lack' | 'either';
  /** 0..1: how much there is of it, from its size in dB, percent or share. */
  readonly size: number;
  /** Heard as strain rather than as a balance. */
  readonly strain: boolean;
}

/** A tilt is too much at one end and too little at the other: two expectations. Impedance by itself sounds of nothing. */
export function expectationsOf(finding: MeasuredFinding): readonly Expectation[] {
  const { kind, fromHz, toHz, centreHz, levelDb = 0 } = finding;
  const band = { fromHz: Math.min(fromHz, toHz), toHz: Math.max(fromHz, toHz) };
  const one = (sign: Expectation['sign'], size: number, strain = false): Expectation => ({
    band,
    sign,
    size,
    strain,
  });
  switch (kind) {
    case 'peak':
    case 'broad-excess':
      return [one('excess', sizeOfDb(levelDb))];
    case 'dip':
    case 'broad-deficit':
      return [one('lack', sizeOfDb(levelDb))];
    case 'tilt':
      return tilted(band, centreHz, levelDb);
    case 'bass-limit':
      return [{ ...one('lack', 0.6), band: { fromHz: 20, toHz: Math.max(21, toHz) } }];
    case 'directivity-mismatch':
      return [one('either', 0.8 * sizeOfDb(levelDb))];
    case 'vertical-null':
      return [one('lack', 0.4 * sizeOfDb(levelDb))];
    case 'distortion':
      return [one('excess', 1 - Math.exp(-Math.abs(levelDb) / 5), true)];
    case 'compression':
      return [one('lack', sizeOfDb(levelDb), true)];
    case 'impedance-wrinkle':
      return [one('excess', 0.35)];
    default:
      return [];
  }
}

const sizeOfDb = (db: number): number => 1 - Math.exp(-Math.abs(db) / 2);

function tilted(band: Band, centreHz: number, levelDb: number): Expectation[] {
  const size = sizeOfDb(levelDb);
  const low = { fromHz: band.fromHz, toHz: centreHz };
  const high = { fromHz: centreHz, toHz: band.toHz };
  const [lowSign, highSign] = levelDb < 0 ? (['excess', 'lack'] as const) : (['lack', 'excess'] as const);
  return [
    { band: low, sign: lowSign, size, strain: false },
    { band: high, sign: highSign, size, strain: false },
  ];
}
