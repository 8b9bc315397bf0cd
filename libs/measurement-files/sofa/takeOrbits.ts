import type { AngleResponse, ImpulseResponse, Orbit, QualityFinding } from '../../acoustics/series.js';
import { sourceOf, type FileTask, type Reading } from '../reading.js';
import { orbitDirection } from './directions.js';
import { readNumbers, type Variable } from './hdf5.js';
import { interpolationWeights, type Weights } from './interpolationWeights.js';
import type { Directions, MeasuredDirection } from './measuredDirections.js';
import { SofaFault, type ImpulseData, type OpenSofa, type TransferData } from './openSofa.js';
import { spectrumEnergy } from './spectrumEnergy.js';

/** Sound pressure 20 uPa in dB re 1 Pa, turned round: the SPL of 1 Pa. */
export const PASCAL_DB = -20 * Math.log10(20e-6);
const STEP_DEG = 10;
const ANGLES = Array.from({ length: 360 / STEP_DEG }, (_, at) => at * STEP_DEG).map((deg) =>
  deg > 180 ? deg - 360 : deg,
);
/** Farther neighbours than this make an interpolated angle worth a look. */
const NEAR_DEG = 12;

interface Wanted {
  readonly orbit: Orbit;
  readonly angleDeg: number;
  readonly weights: Weights;
}

/** The 36 + 36 angles of the two orbits, as far as the measured directions reach. */
export function takeOrbits(task: FileTask, sofa: OpenSofa, directions: Directions): Reading {
  const wanted = wantedAngles(directions.measured);
  if (wanted.length === 0) {
    const message = 'No measured direction lies on or near the horizontal or vertical orbit.';
    throw new SofaFault(
      'sofa-directions',
      message,
      'Check ReceiverPosition, SourceView and SourceUp, and export it again.',
    );
  }
  refuseTooMuch(sofa, wanted);
  const placed = withDistance(task, sofa, wanted, directions.measured);
  const reader =
    sofa.data.kind === 'TF'
      ? transferReading(placed, sofa, sofa.data, directions.measured, wanted)
      : impulseReading(placed, sofa, sofa.data, directions.measured, wanted);
  return { ...reader, quality: [...(reader.quality ?? []), ...notes(task, sofa, directions, wanted)] };
}

/** What would have to be held at once, in numbers: a full set of 65,536-sample responses is 5 million. */
const MOST_NUMBERS = 1 << 25;

function refuseTooMuch({ sizes }: OpenSofa, wanted: readonly Wanted[]): void {
  const needed = new Set(wanted.flatMap(({ weights }) => weights.indices)).size;
  if (needed * sizes.N <= MOST_NUMBERS) return;
  const message = `The orbits need ${needed} directions of ${sizes.N} values; at most ${MOST_NUMBERS} numbers are read.`;
  throw new SofaFault('file-too-large', message, 'Export a shorter response.');
}

function wantedAngles(measured: readonly MeasuredDirection[]): Wanted[] {
  const vectors = measured.map(({ direction }) => direction);
  return (['horizontal', 'vertical'] as const).flatMap((orbit) =>
    ANGLES.flatMap((angleDeg) => {
      const weights = interpolationWeights(orbitDirection(orbit, angleDeg), vectors);
      return weights === undefined ? [] : [{ orbit, angleDeg, weights }];
    }),
  );
}

/** The stated radius counts as the distance when levels are absolute and the manifest says nothing else. */
function withDistance(
  task: FileTask,
  sofa: OpenSofa,
  wanted: readonly Wanted[],
  measured: readonly MeasuredDirection[],
): FileTask {
  const distances = wanted.flatMap(({ weights }) =>
    weights.indices.map((index) => measured[index].distanceM),
  );
  const [low, high] = [Math.min(...distances), Math.max(...distances)];
  if (task.distanceStated || !isPascal(sofa.data.units) || low < 0.1 || high > low * 1.02) return task;
  return { ...task, conditions: { ...task.conditions, distanceM: distances[0] } };
}

function isPascal(units: string): boolean {
  return units === 'pascal' || units === 'pa';
}

/** dB to add to 20 lg of a stored value; undefined when nothing gives an absolute scale. */
function scaleDb(task: FileTask, units: string): number | undefined {
  return task.fullScaleDb ?? (isPascal(units) ? PASCAL_DB : undefined);
}

function transferReading(
  task: FileTask,
  sofa: OpenSofa,
  data: TransferData,
  measured: readonly MeasuredDirection[],
  wanted: readonly Wanted[],
): Reading {
  const read = rowReader(sofa);
  const spectra = new Map<number, { re: Float64Array; im: Float64Array }>();
  const spectrumOf = (index: number) => {
    const known = spectra.get(index);
    if (known !== undefined) return known;
    const spectrum = { re: read(data.real, measured[index]), im: read(data.imaginary, measured[index]) };
    spectra.set(index, spectrum);
    return spectrum;
  };
  const energies = wanted.map(({ weights }) =>
    weightedEnergy(weights, (index) => energyOf(spectrumOf(index))),
  );
  const { from, to } = soundingBins(data.frequencyHz, energies);
  const frequencyHz = data.frequencyHz.slice(from, to);
  const offset = scaleDb(task, data.units) ?? 0;
  const angles = wanted.map(({ orbit, angleDeg, weights }, at): AngleResponse => {
    const levelDb = energies[at].slice(from, to).map((energy) => 10 * Math.log10(energy) + offset);
    const exact = weights.indices.length === 1 ? spectrumOf(weights.indices[0]) : undefined;
    const phase = exact === undefined ? {} : { phaseDeg: phaseOf(exact, from, to) };
    return {
      orbit,
      angleDeg,
      frequencyHz,
      levelDb,
      ...phase,
      source: sourceOf(task, columnName(orbit, angleDeg)),
    };
  });
  const cut = from > (data.frequencyHz[0] === 0 ? 1 : 0) || to < data.frequencyHz.length;
  const message = 'Frequencies at the ends of the range hold zeros and were left out.';
  return {
    angles,
    quality: cut ? [{ severity: 'note', code: 'empty-frequencies', message, file: task.file }] : [],
  };
}

function columnName(orbit: Orbit, angleDeg: number): string {
  return `${orbit} ${angleDeg}`;
}

/** Reads one response of N values. Small files are read whole: blocks of a packed file are slow one by one. */
function rowReader({ sizes }: OpenSofa): (variable: Variable, place: MeasuredDirection) => Float64Array {
  const { M, R, N, E } = sizes;
  const whole = M * R * N * E <= 1 << 24 ? new Map<string, Float64Array>() : undefined;
  return (variable, { m, r, e }) => {
    let row: Float64Array;
    if (whole === undefined) {
      const block: [number, number][] = [
        [m, m + 1],
        [r, r + 1],
        [0, N],
      ];
      if (variable.shape.length === 4) block.push([e, e + 1]);
      row = readNumbers(variable, block);
    } else {
      const all = whole.get(variable.name) ?? readNumbers(variable);
      whole.set(variable.name, all);
      row = Float64Array.from({ length: N }, (_, n) => all[((m * R + r) * N + n) * E + e]);
    }
    const bad = row.findIndex((value) => !Number.isFinite(value));
    if (row.length === N && bad < 0) return row;
    const message = `${variable.name} holds a number that is not finite (measurement ${m + 1}, receiver ${r + 1}, value ${bad + 1}).`;
    throw new SofaFault('sofa-value', message, 'Measure or export this direction again.');
  };
}

function energyOf({ re, im }: { re: Float64Array; im: Float64Array }): Float64Array {
  return re.map((value, at) => value * value + im[at] * im[at]);
}

function phaseOf({ re, im }: { re: Float64Array; im: Float64Array }, from: number, to: number): Float64Array {
  return re.slice(from, to).map((value, at) => (Math.atan2(im[from + at], value) * 180) / Math.PI);
}

/** Mean of the neighbours' energies (p squared): phases of separate directions would cancel at random. */
function weightedEnergy(
  { indices, weights }: Weights,
  energy: (index: number) => Float64Array,
): Float64Array {
  const sum = new Float64Array(energy(indices[0]).length);
  indices.forEach((index, at) => {
    const values = energy(index);
    for (let n = 0; n < sum.length; n += 1) sum[n] += weights[at] * values[n];
  });
  return sum;
}

/** The frequencies above 0 Hz where every direction holds sound; a silent one between them is a fault. */
function soundingBins(
  frequencyHz: Float64Array,
  energies: readonly Float64Array[],
): { from: number; to: number } {
  const sounds = Array.from(frequencyHz, (hz, n) => hz > 0 && energies.every((energy) => energy[n] > 0));
  const from = sounds.indexOf(true);
  const to = sounds.lastIndexOf(true) + 1;
  const gap = sounds.indexOf(false, Math.max(from, 0));
  if (from < 0 || to - from < 2 || (gap >= 0 && gap < to)) {
    const where = from < 0 ? 'every frequency' : `${frequencyHz[gap] ?? frequencyHz[from]} Hz`;
    throw new SofaFault(
      'sofa-value',
      `Some direction holds only zeros at ${where}.`,
      'Measure or export it again.',
    );
  }
  return { from, to };
}

function impulseReading(
  task: FileTask,
  sofa: OpenSofa,
  data: ImpulseData,
  measured: readonly MeasuredDirection[],
  wanted: readonly Wanted[],
): Reading {
  const read = rowReader(sofa);
  const scale = scaleDb(task, data.units);
  const energies = new Map<number, { frequencyHz: Float64Array; energy: Float64Array }>();
  const energyAt = (index: number) => {
    const known =
      energies.get(index) ?? spectrumEnergy(read(data.impulses, measured[index]), data.sampleRateHz);
    energies.set(index, known);
    return known;
  };
  const impulses: ImpulseResponse[] = [];
  const angles: AngleResponse[] = [];
  for (const { orbit, angleDeg, weights } of wanted) {
    const source = sourceOf(task, columnName(orbit, angleDeg));
    if (weights.indices.length === 1) {
      const samples = read(data.impulses, measured[weights.indices[0]]);
      if (samples.every((value) => value === 0)) {
        throw new SofaFault(
          'sofa-value',
          `The response at ${columnName(orbit, angleDeg)} degrees is silent.`,
          'Measure it again.',
        );
      }
      const fullScale = scale === undefined ? {} : { fullScaleDb: scale };
      impulses.push({ orbit, angleDeg, sampleRateHz: data.sampleRateHz, samples, ...fullScale, source });
    } else {
      const energy = weightedEnergy(weights, (index) => energyAt(index).energy);
      const levelDb = energy.map((value) => 10 * Math.log10(Math.max(value, 1e-30)) + (scale ?? 0));
      angles.push({
        orbit,
        angleDeg,
        frequencyHz: energyAt(weights.indices[0]).frequencyHz,
        levelDb,
        source,
      });
    }
  }
  return { impulses, angles };
}

function notes(
  task: FileTask,
  sofa: OpenSofa,
  directions: Directions,
  wanted: readonly Wanted[],
): QualityFinding[] {
  const found: QualityFinding[] = [];
  const add = (severity: QualityFinding['severity'], code: string, message: string) =>
    found.push({ severity, code, message, file: task.file });
  for (const orbit of ['horizontal', 'vertical'] as const) {
    const made = wanted.filter((angle) => angle.orbit === orbit && angle.weights.indices.length > 1);
    if (made.length === 0) continue;
    const farthest = Math.max(...made.map(({ weights }) => weights.farthestDeg));
    const list = made
      .map(({ angleDeg }) => angleDeg)
      .sort((a, b) => a - b)
      .join(', ');
    const message = `Not measured on the ${orbit} orbit and interpolated from neighbours up to ${farthest.toFixed(1)} degrees away: ${list}.`;
    add(farthest > NEAR_DEG ? 'check' : 'note', 'interpolated-angle', message);
  }
  if (scaleDb(task, sofa.data.units) === undefined) {
    add(
      'note',
      'relative-levels',
      'The file does not say what its values mean in pascal, so levels are relative; give "fullScaleDb" for sound pressure levels.',
    );
  }
  if (directions.foundIn === 'emitters') {
    add(
      'check',
      'directions-from-emitters',
      'Only EmitterPosition varies, so it was taken as the measured directions seen from the receiver.',
    );
  }
  if (directions.repeated > 0) {
    add(
      'check',
      'repeated-direction',
      `${directions.repeated} responses repeat a direction (other emitters or measurements); the first of each was read.`,
    );
  }
  return found;
}
