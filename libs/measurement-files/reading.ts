import type {
  AngleResponse,
  CompressionSeries,
  Conditions,
  DistortionSeries,
  FileKind,
  ImpedanceSeries,
  ImpulseResponse,
  MicrophoneCalibration,
  MultitoneSeries,
  Orbit,
  QualityFinding,
  ResponseSeries,
  SeriesSource,
  Stimulus,
  StimulusRecording,
} from '../acoustics/series.js';
import type { Problem } from './problem.js';
import type { FileContent } from './text/fileContent.js';
import type { StatedColumns } from './text/readTable.js';

/** One file and what its name, the manifest and the caller say about it. */
export interface FileTask {
  readonly file: string;
  readonly bytes: Uint8Array;
  readonly sha256: string;
  readonly kind: FileKind;
  /** Undefined when only the content can tell (a table of angles, a SOFA file). */
  readonly content: FileContent | undefined;
  readonly orbit?: Orbit;
  readonly angleDeg?: number;
  readonly levelDb?: number;
  readonly columns?: StatedColumns;
  readonly stimulus?: Stimulus;
  readonly fullScaleDb?: number;
  /** 1-based channel of a recording. */
  readonly channel?: number;
  readonly conditions?: Conditions;
  readonly microphone?: string;
  /** Whether the manifest states the distance, for this file or the set. */
  readonly distanceStated: boolean;
}

/** What one file gave. With a problem, nothing else counts. */
export interface Reading {
  readonly content?: FileContent;
  readonly angles?: readonly AngleResponse[];
  readonly impulses?: readonly ImpulseResponse[];
  readonly recordings?: readonly StimulusRecording[];
  readonly impedance?: readonly ImpedanceSeries[];
  readonly distortion?: readonly DistortionSeries[];
  readonly multitone?: readonly MultitoneSeries[];
  readonly compression?: readonly CompressionSeries[];
  readonly inRoom?: readonly ResponseSeries[];
  readonly calibrations?: readonly MicrophoneCalibration[];
  readonly quality?: readonly QualityFinding[];
  readonly problems?: readonly Problem[];
}

/** Where the series of a file come from. */
export function sourceOf(task: FileTask, column?: string): SeriesSource {
  return {
    file: task.file,
    sha256: task.sha256,
    ...(column === undefined ? {} : { column }),
    ...(task.conditions === undefined ? {} : { conditions: task.conditions }),
    ...(task.microphone === undefined ? {} : { microphone: task.microphone }),
  };
}
