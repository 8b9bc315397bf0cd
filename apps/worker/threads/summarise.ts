/** The few numbers of a result that lists, plans and searches ask for. */
import type { AnalysisResult } from '../../../libs/acoustics/analysis.js';
import type { MeasurementSet } from '../../../libs/acoustics/series.js';
import type { DataKind } from '../../../libs/loan-life/index.js';
import type { ComputationSummary } from '../../../libs/store/unitProgress.js';

export function summarise(set: MeasurementSet, result: AnalysisResult): ComputationSummary {
  const count = (severity: string) =>
    result.quality.filter((finding) => finding.severity === severity).length;
  const blocking = count('blocking');
  return {
    blocking,
    checks: count('check'),
    notes: count('note'),
    held: { ...heldData(set, result), blockingIn: blockingIn(set, result) },
    numbers: numbersOf(result),
  };
}

/**
 * What kinds of data the blocking findings touch: by the orbit or role of the file they name, else by their subject.
 * An angle that was not measured is no fault in those that were: what is missing is counted by itself.
 */
function blockingIn(set: MeasurementSet, result: AnalysisResult): DataKind[] {
  const roleOf = new Map(result.inputs.map(({ file, role }) => [file, role]));
  const kinds = result.quality
    .filter(({ severity, code }) => severity === 'blocking' && code !== 'missing-angle')
    .map(({ code, file }): DataKind => {
      const role = file === undefined ? undefined : roleOf.get(file);
      if (role === 'directivity') return orbitOf(set, file) ?? role;
      if (role !== undefined && role !== 'in-room' && role !== 'calibration') return role;
      return /angle|orbit|grid|asymmetry|level-step|polarity/.test(code) ? 'directivity' : 'all';
    });
  return [...new Set(kinds)];
}

/** The orbit a file's readings are all of; undefined for a table of both, and for the axis, which both share. */
function orbitOf(set: MeasurementSet, file: string | undefined): 'horizontal' | 'vertical' | undefined {
  const readings = [...set.angles, ...set.impulses, ...set.recordings].filter(
    ({ source }) => source.file === file,
  );
  const orbits = new Set(readings.map(({ orbit }) => orbit));
  const isShared = readings.some(({ angleDeg }) => angleDeg === 0 || angleDeg === 180);
  return orbits.size === 1 && !isShared ? readings[0].orbit : undefined;
}

function heldData(set: MeasurementSet, result: AnalysisResult) {
  const measured = [
    ...set.angles,
    ...set.impulses,
    ...set.recordings.filter(({ role }) => role === 'directivity'),
  ];
  const anglesOf = (orbit: string) => [
    ...new Set(
      measured.flatMap((one) => (one.orbit === orbit && one.angleDeg !== undefined ? [one.angleDeg] : [])),
    ),
  ];
  const horizontal = anglesOf('horizontal');
  const mirrored =
    set.conditions.mirrorHorizontal === true ? horizontal.map((angle) => (angle === 180 ? 180 : -angle)) : [];
  return {
    horizontalDeg: [...new Set([...horizontal, ...mirrored])],
    verticalDeg: anglesOf('vertical'),
    impedance: result.impedance !== undefined,
    distortionLevelsDb: (result.distortion ?? []).map(({ levelDb }) => levelDb),
    multitone: (result.multitone ?? []).length > 0,
    compressionLevelsDb: result.compression
      ? [result.compression.referenceDb, ...result.compression.levels.map(({ levelDb }) => levelDb)]
      : set.compression.map(({ levelDb }) => levelDb),
  };
}

function numbersOf(result: AnalysisResult): Record<string, number | string | null> {
  return {
    sensitivityDb: result.sensitivity?.db ?? null,
    f3Hz: result.bass?.f3Hz ?? null,
    f6Hz: result.bass?.f6Hz ?? null,
    f10Hz: result.bass?.f10Hz ?? null,
    onAxisWithinDb: result.flatness?.onAxisWithinDb ?? null,
    listeningWindowWithinDb: result.flatness?.listeningWindowWithinDb ?? null,
    inRoomSlopeDbPerOctave: result.inRoomTrend?.slopeDbPerOctave ?? null,
    coverageDeg: result.horizontal?.summaryDeg ?? null,
    predictedPreference: result.predictedPreference?.rating ?? null,
    predictedPreferenceIgnoringBass: result.predictedPreference?.ratingIgnoringBass ?? null,
    minimumOhm: result.impedance?.minimumOhm ?? null,
    ratedOhm: result.impedance?.ratedOhm ?? null,
    epdrMinimumOhm: result.impedance?.epdrMinimumOhm ?? null,
  };
}
