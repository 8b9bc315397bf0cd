/**
 * The typed series that measurement files become, before any arithmetic.
 *
 * Arrays that belong together have equal length; frequencies rise strictly; angles are degrees in (-180, 180]
 * (horizontal: positive to the listener's right as seen from the listening position; vertical: positive up).
 * Nothing here is changed after it is made.
 */

/** A great circle about the reference axis. */
export type Orbit = 'horizontal' | 'vertical';

/** What a file was taken as. */
export type Role = 'directivity' | 'impedance' | 'distortion' | 'multitone' | 'compression' | 'in-room';

export type FileKind = 'delimited-text' | 'wav' | 'sofa';

export interface InputFile {
  readonly file: string;
  /** Lower-case hex SHA-256 of the bytes. */
  readonly sha256: string;
  readonly kind: FileKind;
  /** `calibration`: a microphone's curve, which corrects other files and is no measurement of the unit. */
  readonly role: Role | 'calibration';
}

/** Under what conditions a set, or one file of it, was taken. Absent means not stated. */
export interface Conditions {
  /** Microphone distance in metres; levels are normalised to 1 m. */
  readonly distanceM?: number;
  /** Terminal voltage (RMS); levels are normalised to 2.83 V. */
  readonly driveVolts?: number;
  readonly grille?: 'on' | 'off';
  readonly referenceAxis?: string;
  readonly temperatureC?: number;
  /** Only when the maker's cabinet is symmetric and the operator says so: -a is taken from +a where missing. */
  readonly mirrorHorizontal?: boolean;
  /** Rated impedance stated by the maker, ohm. */
  readonly ratedOhm?: number;
  /** Where to end the window on impulse responses, in milliseconds after the direct sound; absent: found from the data. */
  readonly gateMs?: number;
  readonly unit?: string;
  readonly serial?: string;
}

/** Where a series came from; `file` is the name the operator gave it. */
export interface SeriesSource {
  readonly file: string;
  readonly sha256: string;
  /** The column header or dataset name, where one file holds several series. */
  readonly column?: string;
  /** Conditions stated for this file alone; they win over the set's. */
  readonly conditions?: Conditions;
  /** Name of the `MicrophoneCalibration` to correct by; absent with exactly one calibration means that one. */
  readonly microphone?: string;
}

/** A frequency response. */
export interface ResponseSeries {
  readonly frequencyHz: Float64Array;
  /** dB SPL as read from the file, before normalising to 2.83 V and 1 m. */
  readonly levelDb: Float64Array;
  readonly phaseDeg?: Float64Array;
  readonly source: SeriesSource;
}

/** One response of a directivity orbit. */
export interface AngleResponse extends ResponseSeries {
  readonly orbit: Orbit;
  readonly angleDeg: number;
}

/** An impulse response from a WAV file; samples are relative to digital full scale (1.0). */
export interface ImpulseResponse {
  readonly orbit: Orbit;
  readonly angleDeg: number;
  readonly sampleRateHz: number;
  readonly samples: Float32Array | Float64Array;
  /** SPL in dB of a digital full-scale value; absent means levels are relative only. */
  readonly fullScaleDb?: number;
  readonly source: SeriesSource;
}

export type Stimulus =
  | {
      readonly type: 'exponential-sweep';
      readonly fromHz: number;
      readonly toHz: number;
      readonly seconds: number;
      readonly sampleRateHz: number;
    }
  | { readonly type: 'multitone'; readonly frequenciesHz: readonly number[] };

/** A recording of a stated stimulus; samples are relative to digital full scale (1.0). */
export interface StimulusRecording {
  readonly role: Role;
  readonly stimulus: Stimulus;
  readonly orbit?: Orbit;
  readonly angleDeg?: number;
  /** Nominal SPL at 1 m the recording was taken at. */
  readonly levelDb?: number;
  readonly sampleRateHz: number;
  readonly samples: Float32Array | Float64Array;
  readonly fullScaleDb?: number;
  readonly source: SeriesSource;
}

export interface ImpedanceSeries {
  readonly frequencyHz: Float64Array;
  readonly magnitudeOhm: Float64Array;
  readonly phaseDeg?: Float64Array;
  readonly source: SeriesSource;
}

/** Harmonic distortion at one level; percent of the fundamental. */
export interface DistortionSeries {
  readonly levelDb: number;
  readonly frequencyHz: Float64Array;
  readonly thdPercent?: Float64Array;
  /** Harmonic order (2, 3, ...) to percent of the fundamental. */
  readonly harmonicsPercent: Readonly<Record<number, Float64Array>>;
  readonly source: SeriesSource;
}

/** Multitone distortion plus noise at one level; percent of the tones, per frequency band. */
export interface MultitoneSeries {
  readonly levelDb: number;
  readonly frequencyHz: Float64Array;
  readonly distortionPercent: Float64Array;
  /** Everything between the tones over all tones, where a recording was read; a table holds bands only. */
  readonly totalPercent?: number;
  readonly source: SeriesSource;
}

/** On-axis response at one of several rising levels. */
export interface CompressionSeries {
  readonly levelDb: number;
  readonly frequencyHz: Float64Array;
  readonly responseDb: Float64Array;
  readonly source: SeriesSource;
}

/** A microphone's deviation from flat, dB, subtracted from what it recorded. */
export interface MicrophoneCalibration {
  readonly name: string;
  readonly frequencyHz: Float64Array;
  readonly deviationDb: Float64Array;
}

/** Everything one set of measurement files holds, read and typed, with what reading already noticed. */
export interface MeasurementSet {
  readonly conditions: Conditions;
  readonly inputs: readonly InputFile[];
  readonly angles: readonly AngleResponse[];
  readonly impulses: readonly ImpulseResponse[];
  readonly recordings: readonly StimulusRecording[];
  readonly impedance: readonly ImpedanceSeries[];
  readonly distortion: readonly DistortionSeries[];
  readonly multitone: readonly MultitoneSeries[];
  readonly compression: readonly CompressionSeries[];
  readonly inRoom: readonly ResponseSeries[];
  readonly calibrations: readonly MicrophoneCalibration[];
  /** Quality notes from reading (a clipped recording, an interpolated SOFA direction, ...). */
  readonly quality: readonly QualityFinding[];
}

/** blocking: the unit may not leave; check: look before it leaves; note: for the record. */
export type QualitySeverity = 'blocking' | 'check' | 'note';

export interface QualityFinding {
  readonly severity: QualitySeverity;
  /** Stable kebab-case id, such as `missing-angle`. */
  readonly code: string;
  /** One or two plain sentences: what is wrong and what to remeasure. */
  readonly message: string;
  readonly file?: string;
  /** The evidence as a picture: curves to draw with the finding marked. */
  readonly evidence?: QualityEvidence;
}

export interface QualityEvidence {
  readonly title: string;
  readonly unit: string;
  readonly frequencyHz: readonly number[];
  readonly curves: readonly { readonly label: string; readonly values: readonly (number | null)[] }[];
}
