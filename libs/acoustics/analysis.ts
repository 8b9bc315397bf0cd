/**
 * What an analysis says: the JSON object of the `analyse` command, of the queue's results and of the
 * dashboard. A key is present only when the data can give it; numbers are finite.
 */
import type { InputFile, QualityFinding } from './series.js';

export interface Curves {
  readonly onAxis?: readonly number[];
  readonly listeningWindow?: readonly number[];
  readonly earlyReflections?: readonly number[];
  readonly floorBounce?: readonly number[];
  readonly ceilingBounce?: readonly number[];
  readonly frontWallBounce?: readonly number[];
  readonly sideWallBounce?: readonly number[];
  readonly rearWallBounce?: readonly number[];
  readonly soundPower?: readonly number[];
  readonly earlyReflectionsDirectivityIndex?: readonly number[];
  readonly soundPowerDirectivityIndex?: readonly number[];
  readonly estimatedInRoom?: readonly number[];
}
export type CurveName = keyof Curves;

export interface Sensitivity {
  readonly db: number;
  readonly bandHz: readonly [number, number];
}

export interface BassLimits {
  readonly f3Hz?: number;
  readonly f6Hz?: number;
  readonly f10Hz?: number;
  readonly slopeDbPerOctave?: number;
}

export interface Flatness {
  readonly bandHz: readonly [number, number];
  /** The smallest +/- window, dB, that holds the curve in the band. */
  readonly onAxisWithinDb?: number;
  readonly listeningWindowWithinDb?: number;
}

export interface InRoomTrend {
  readonly fromHz: number;
  readonly toHz: number;
  readonly slopeDbPerOctave: number;
  /** Level of the fitted line at 1 kHz. */
  readonly interceptDb: number;
  readonly residualRmsDb: number;
}

export interface PredictedPreference {
  readonly rating: number;
  readonly ratingIgnoringBass: number;
  readonly nbdOnAxis: number;
  readonly nbdInRoom: number;
  readonly smInRoom: number;
  readonly lowFrequencyHz: number;
}

/** Levels over one orbit, kept so that maps, any listening angle and comparisons can be drawn. */
export interface DirectivityMap {
  readonly frequencyHz: readonly number[];
  /** Rising, in (-180, 180]; only angles that were measured. */
  readonly angleDeg: readonly number[];
  /** dB SPL at 2.83 V and 1 m: one row per angle, each as long as `frequencyHz`. */
  readonly levelDb: readonly (readonly number[])[];
}

/** Angles in degrees from the axis at which the level first falls 6 dB below on axis. */
export interface HorizontalCoverage {
  readonly coverageDeg: {
    readonly frequencyHz: readonly number[];
    readonly left: readonly number[];
    readonly right: readonly number[];
  };
  /** One side's angle, 1-10 kHz. */
  readonly summaryDeg: number;
}

export interface VerticalNull {
  readonly frequencyHz: number;
  readonly angleDeg: number;
  readonly depthDb: number;
}

export interface VerticalCoverage {
  readonly coverageDeg: {
    readonly frequencyHz: readonly number[];
    readonly up: readonly number[];
    readonly down: readonly number[];
  };
  readonly nulls: readonly VerticalNull[];
  /** Degrees above and below the axis within which no band 1-6 kHz loses more than 3 dB. */
  readonly usableWindowDeg: { readonly up: number; readonly down: number };
}

export interface Impedance {
  readonly minimumOhm: number;
  readonly minimumHz: number;
  /** The highest common rated value IEC 60268-5 allows. */
  readonly ratedOhm: number;
  readonly epdrMinimumOhm?: number;
  readonly epdrMinimumHz?: number;
  readonly phaseAtMinimumDeg?: number;
  readonly epdrOhm?: readonly number[];
  readonly frequencyHz: readonly number[];
  /** |Z| on `frequencyHz`, and phase where the data has it. */
  readonly magnitudeOhm: readonly number[];
  readonly phaseDeg?: readonly number[];
  readonly wrinkles: readonly { readonly frequencyHz: number; readonly strength: number }[];
  readonly amplifierAdvice: string;
}

export interface Distortion {
  readonly levelDb: number;
  readonly frequencyHz: readonly number[];
  /** Harmonics over the fundamental (THD_F). */
  readonly thdPercent: readonly number[];
  /** Each as long as `frequencyHz`; 0 where a recording's band does not reach up to the harmonic. */
  readonly harmonicsPercent: Readonly<Record<string, readonly number[]>>;
  readonly above3Percent: readonly (readonly [number, number])[];
}

export interface Multitone {
  readonly levelDb: number;
  readonly frequencyHz: readonly number[];
  readonly distortionPercent: readonly number[];
  readonly totalPercent: number;
  readonly above3Percent: readonly (readonly [number, number])[];
}

export interface Compression {
  readonly referenceDb: number;
  readonly levels: readonly {
    readonly levelDb: number;
    readonly frequencyHz: readonly number[];
    readonly deviationDb: readonly number[];
  }[];
  readonly above1Db: readonly {
    readonly levelDb: number;
    readonly fromHz: number;
    readonly toHz: number;
    readonly worstDb: number;
  }[];
}

/** The highest level measured at which a third-octave band compresses by less than 1 dB and distorts by less than 3 %. */
export interface LoudestCleanBand {
  readonly centreHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  /** Absent when not even the lowest level measured is clean. */
  readonly levelDb?: number;
  /** What the next level up does too much of; absent when the highest level measured is still clean. */
  readonly limitedBy?: 'compression' | 'distortion';
  readonly limitedAtDb?: number;
}

export interface SubwooferCrossover {
  readonly frequencyHz: number;
  /** The steps, one sentence with its numbers each. */
  readonly arithmetic: readonly string[];
}

export type FindingKind =
  | 'peak'
  | 'dip'
  | 'broad-excess'
  | 'broad-deficit'
  | 'tilt'
  | 'bass-limit'
  | 'directivity-mismatch'
  | 'vertical-null'
  | 'distortion'
  | 'compression'
  | 'impedance-wrinkle'
  | 'low-impedance'
  | 'narrow-coverage'
  | 'wide-coverage';

export interface Finding {
  readonly kind: FindingKind;
  readonly fromHz: number;
  readonly toHz: number;
  readonly centreHz: number;
  /** Signed size in dB where the kind has one (percent for distortion, ohm for impedance: `unit` says). */
  readonly levelDb?: number;
  /** What `levelDb` counts where that is not dB. */
  readonly unit?: 'percent' | 'ohm' | 'degree';
  readonly q?: number;
  /** The curve the finding was measured on. */
  readonly curve?: string;
  /** All curves it stands in. */
  readonly standsIn?: readonly string[];
  readonly correctable: boolean;
  /** One plain sentence. */
  readonly why: string;
}

export interface BiquadFilter {
  readonly type: 'peaking' | 'low-shelf' | 'high-shelf';
  readonly frequencyHz: number;
  readonly gainDb: number;
  readonly q: number;
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number, number];
}

export interface EqualiserState {
  readonly residualRmsDb: number;
  readonly predictedPreference?: number;
  readonly onAxis?: readonly number[];
  readonly listeningWindow?: readonly number[];
  readonly estimatedInRoom?: readonly number[];
}

export interface Equaliser {
  readonly sampleRateHz: number;
  readonly filters: readonly BiquadFilter[];
  /** How far the proposal may lift the loudest frequency: digital level to give up, dB >= 0. */
  readonly headroomDb: number;
  readonly before: EqualiserState;
  readonly after: EqualiserState;
}

export interface AnalysisResult {
  readonly schema: 'sojourn.analysis/1';
  readonly algorithmVersion: string;
  readonly settings: AnalysisSettings;
  readonly inputs: readonly InputFile[];
  readonly frequencyHz?: readonly number[];
  readonly curves?: Curves;
  readonly sensitivity?: Sensitivity;
  readonly bass?: BassLimits;
  readonly flatness?: Flatness;
  readonly inRoomTrend?: InRoomTrend;
  readonly predictedPreference?: PredictedPreference;
  readonly horizontal?: HorizontalCoverage;
  readonly vertical?: VerticalCoverage;
  readonly maps?: { readonly horizontal?: DirectivityMap; readonly vertical?: DirectivityMap };
  readonly impedance?: Impedance;
  readonly distortion?: readonly Distortion[];
  readonly multitone?: readonly Multitone[];
  readonly compression?: Compression;
  readonly loudestClean?: readonly LoudestCleanBand[];
  readonly subwooferCrossover?: SubwooferCrossover;
  readonly findings?: readonly Finding[];
  readonly equaliser?: Equaliser;
  readonly quality: readonly QualityFinding[];
}

export interface AnalysisSettings {
  /** How early reflections are averaged: the five groups' means, or all member curves at once. */
  readonly earlyReflections: 'five-group-mean' | 'all-curves-mean';
  /** Rear wall members: H +-90..+-170 and 180, or only H +-90 and 180. */
  readonly rearWall: 'nineteen' | 'three';
  readonly maximumFilters: number;
  readonly maximumBoostDb: number;
  readonly equaliserSampleRateHz: number;
}
