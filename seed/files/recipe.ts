import type { TextStyle } from './textTable.js';
import type { SampleFormat } from './wavFile.js';

/** The kinds of data a set can hold. */
export const setParts = [
  'horizontal',
  'vertical',
  'impedance',
  'distortion',
  'multitone',
  'compression',
] as const;
export type SetPart = (typeof setParts)[number];

/** How one invented rig wrote one unit's set. */
export interface SetRecipe {
  readonly designId: string;
  readonly unitName: string;
  readonly distanceM: number;
  readonly driveVolts: number;
  readonly referenceAxis: string;
  readonly style: TextStyle;
  readonly directivity: DirectivityRecipe;
  readonly distortion: LevelRecipe;
  readonly multitone: LevelRecipe;
  readonly compressionLevelsDb: readonly number[];
  readonly fromHz: number;
  readonly toHz: number;
  readonly pointsPerOctave: number;
  /** The band whose mean on axis the stated levels refer to. */
  readonly levelBandHz: readonly [number, number];
  /** Without it the file names alone say what is what, at 1 m and 2.83 V. */
  readonly manifest: boolean;
  readonly ratedOhm?: number;
}

export type DirectivityRecipe =
  | {
      readonly form: 'file-per-angle';
      readonly name: (orbit: 'horizontal' | 'vertical', angleDeg: number) => string;
      readonly phase: boolean;
    }
  | { readonly form: 'one-table'; readonly name: string }
  | { readonly form: 'impulse-responses'; readonly sampleRateHz: number; readonly size: number }
  /** Low-frequency units radiate alike in every direction: the axis is enough. */
  | { readonly form: 'axis-only' };

export type LevelRecipe =
  | { readonly form: 'text'; readonly levelsDb: readonly number[] }
  | {
      readonly form: 'recording';
      readonly levelsDb: readonly number[];
      readonly sampleRateHz: number;
      readonly format: SampleFormat;
    };

const two = (value: number) => String(Math.abs(value)).padStart(2, '0');
const three = (value: number) => String(Math.abs(value)).padStart(3, '0');
const sign = (value: number) => (value < 0 ? '-' : '+');

/** The accepted ways of naming a file by its angle: h+030, hor_-30, "V -10", h330. */
export const angleNames = {
  signedThree: (orbit: string, angleDeg: number) => `${orbit[0]}${sign(angleDeg)}${three(angleDeg)}`,
  word: (orbit: string, angleDeg: number) => `${orbit.slice(0, 3)}_${angleDeg}`,
  spaced: (orbit: string, angleDeg: number) => `${orbit.slice(0, 1).toUpperCase()} ${angleDeg}`,
  aroundTheClock: (orbit: string, angleDeg: number) => `${orbit[0]}${two((angleDeg + 360) % 360)}`,
} as const;
