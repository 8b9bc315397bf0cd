import { createHash } from 'node:crypto';
import type {
  Conditions,
  FileKind,
  InputFile,
  MeasurementSet,
  QualityFinding,
  SeriesSource,
} from '../acoustics/series.js';
import type { FileEntry } from './archive/expandZip.js';
import { isIgnoredFile } from './fileName.js';
import { sayBytes, withLimits, type ReadLimits } from './limits.js';
import type { Manifest } from './manifest/manifestSchema.js';
import { planFiles, type FilePlan, type StatedDefaults, type StatedManifest } from './planFiles.js';
import { problem, type Problem } from './problem.js';
import type { FileTask, Reading } from './reading.js';
import { readTextFile } from './text/readTextFile.js';

export interface SetReading {
  /** Present exactly when there are no problems. */
  readonly set?: MeasurementSet;
  readonly problems: readonly Problem[];
}

/**
 * Reads a whole set of measurement files: each to typed series with units, by manifest, name and content.
 *
 * All files are read before anything is said, so one upload shows every fault at once. Bad input never throws;
 * it gives problems and no set. Names may carry folders (`/`). `defaults` fills in what neither the manifest
 * nor a name states.
 *
 * @param entries unpacked files; archives go through `expandZip` first
 * @param beginning told of each file before it is read
 */
export async function readMeasurementSet(
  entries: readonly FileEntry[],
  limits?: Partial<ReadLimits>,
  defaults: StatedDefaults = {},
  beginning?: (file: string) => void,
): Promise<SetReading> {
  const bounds = withLimits(limits);
  const files = entries.filter(({ name }) => !isIgnoredFile(name));
  const sizes = sizeProblems(files, bounds);
  if (sizes.length > 0) return { problems: sizes };
  const stated = await readStatedManifest(files, bounds);
  if (stated.problems.length > 0) return { problems: stated.problems };
  const measured = files.filter(({ name }) => name !== stated.name);
  const plan = planFiles(measured, stated, defaults);
  const readings = await readAll(plan, measured, bounds, beginning);
  const problems = [...plan.problems, ...readings.flatMap(({ reading }) => reading.problems ?? [])];
  if (problems.length > 0) return { problems };
  const set = assemble(readings, setConditions(stated.manifest, defaults), [
    ...stated.quality,
    ...plan.quality,
  ]);
  const lost = unknownMicrophones(set);
  if (lost.length > 0) return { problems: lost };
  return { set: { ...set, quality: [...set.quality, ...unusedCalibrations(set)] }, problems: [] };
}

function sizeProblems(files: readonly FileEntry[], limits: ReadLimits): Problem[] {
  if (files.length === 0) {
    const message = 'There are no measurement files.';
    return [problem('the set', undefined, 'empty-set', message, 'Give delimited text, WAV or SOFA files.')];
  }
  if (files.length > limits.fileCount) {
    const message = `There are ${files.length} files; at most ${limits.fileCount} are read.`;
    return [problem('the set', undefined, 'too-many-files', message, 'Give only the files of one unit.')];
  }
  const total = files.reduce((sum, { bytes }) => sum + bytes.length, 0);
  if (total > limits.totalBytes) {
    const message = `The files have ${sayBytes(total)} together; at most ${sayBytes(limits.totalBytes)} are read.`;
    return [problem('the set', undefined, 'set-too-large', message, 'Give only the files of one unit.')];
  }
  return files
    .filter(({ bytes }) => bytes.length > limits.fileBytes)
    .map(({ name, bytes }) => {
      const message = `The file has ${sayBytes(bytes.length)}; at most ${sayBytes(limits.fileBytes)} are read.`;
      return problem(
        name,
        undefined,
        'file-too-large',
        message,
        'Leave it out, or cut it to the part that matters.',
      );
    });
}

interface ManifestOfSet extends StatedManifest {
  readonly quality: readonly QualityFinding[];
  readonly problems: readonly Problem[];
}

async function readStatedManifest(files: readonly FileEntry[], limits: ReadLimits): Promise<ManifestOfSet> {
  const found = files.filter(({ name }) => /(^|\/)manifest\.json$/i.test(name));
  const [first, second] = found;
  if (first === undefined) return { quality: [], problems: [] };
  if (second !== undefined) {
    const message = `There are ${found.length} manifests: ${found.map(({ name }) => name).join(', ')}.`;
    return {
      quality: [],
      problems: [problem(second.name, undefined, 'manifest-duplicate', message, 'Give one unit at a time.')],
    };
  }
  const { readManifest } = await import('./manifest/readManifest.js');
  return { name: first.name, ...readManifest(first.name, first.bytes, limits) };
}

interface NamedReading {
  readonly task: FileTask;
  readonly reading: Reading;
}

async function readAll(
  plan: FilePlan,
  files: readonly FileEntry[],
  limits: ReadLimits,
  beginning?: (file: string) => void,
): Promise<NamedReading[]> {
  const bytesOf = new Map(files.map(({ name, bytes }) => [name, bytes]));
  const hashes = new Map<string, string>();
  const readings: NamedReading[] = [];
  for (const planned of plan.files) {
    beginning?.(planned.file);
    const bytes = bytesOf.get(planned.file)!;
    const sha256 = hashes.get(planned.file) ?? createHash('sha256').update(bytes).digest('hex');
    hashes.set(planned.file, sha256);
    const task: FileTask = { ...planned, bytes, sha256 };
    readings.push({ task, reading: await readOne(task, limits) });
  }
  return readings;
}

/** The readers of the rarer kinds are loaded when the first such file is met: text alone starts sooner. */
async function readOne(task: FileTask, limits: ReadLimits): Promise<Reading> {
  const readers: Record<FileKind, () => Promise<Reading>> = {
    'delimited-text': async () => readTextFile(task, limits),
    wav: async () => (await import('./wav/readWavFile.js')).readWavFile(task, limits),
    sofa: async () => (await import('./sofa/readSofaFile.js')).readSofaFile(task, limits),
  };
  return readers[task.kind]();
}

function setConditions(manifest: Manifest | undefined, defaults: StatedDefaults): Conditions {
  const stated: Conditions = { ...manifest?.conditions };
  const mirror =
    manifest?.mirrorHorizontal === undefined ? {} : { mirrorHorizontal: manifest.mirrorHorizontal };
  const rated = defaults.ratedOhm === undefined ? {} : { ratedOhm: defaults.ratedOhm };
  return { ...stated, ...mirror, ...rated };
}

function assemble(
  readings: readonly NamedReading[],
  conditions: Conditions,
  quality: readonly QualityFinding[],
): MeasurementSet {
  const all = readings.map(({ reading }) => reading);
  const inputs = readings.map(({ task, reading }): InputFile => ({
    file: task.file,
    sha256: task.sha256,
    kind: task.kind,
    role: reading.content ?? task.content ?? 'directivity',
  }));
  return {
    conditions,
    inputs: inputs.filter((input, at) => inputs.findIndex((other) => sameInput(other, input)) === at),
    angles: all.flatMap(({ angles = [] }) => angles),
    impulses: all.flatMap(({ impulses = [] }) => impulses),
    recordings: all.flatMap(({ recordings = [] }) => recordings),
    impedance: all.flatMap(({ impedance = [] }) => impedance),
    distortion: all.flatMap(({ distortion = [] }) => distortion),
    multitone: all.flatMap(({ multitone = [] }) => multitone),
    compression: all.flatMap(({ compression = [] }) => compression),
    inRoom: all.flatMap(({ inRoom = [] }) => inRoom),
    calibrations: all.flatMap(({ calibrations = [] }) => calibrations),
    quality: [...quality, ...all.flatMap((reading) => reading.quality ?? [])],
  };
}

function sameInput(a: InputFile, b: InputFile): boolean {
  return a.file === b.file && a.role === b.role;
}

function microphoneSeries(set: MeasurementSet): readonly { readonly source: SeriesSource }[] {
  return [...set.angles, ...set.impulses, ...set.recordings, ...set.compression, ...set.inRoom];
}

/** With several calibrations, a file that names none is corrected by none; that must not pass in silence. */
function unusedCalibrations(set: MeasurementSet): QualityFinding[] {
  const silent = microphoneSeries(set).filter(({ source }) => source.microphone === undefined);
  if (set.calibrations.length < 2 || silent.length === 0) return [];
  const message =
    `There are ${set.calibrations.length} microphone calibrations and ${silent.length} curves that name none, ` +
    'so these are not corrected. Give "microphone" in the manifest.';
  return [{ severity: 'check', code: 'microphone-not-stated', message }];
}

function unknownMicrophones(set: MeasurementSet): Problem[] {
  const known = new Set(set.calibrations.map(({ name }) => name));
  const lost = microphoneSeries(set).filter(
    ({ source }) => source.microphone !== undefined && !known.has(source.microphone),
  );
  const files = new Map(lost.map(({ source }) => [source.file, source.microphone!]));
  return [...files].map(([file, microphone]) => {
    const message = `Its microphone "${microphone}" has no calibration in this set.`;
    const remedy = 'Add calibration_MICROPHONE.csv of that name, or remove "microphone" from the manifest.';
    return problem(file, undefined, 'microphone-unknown', message, remedy);
  });
}
