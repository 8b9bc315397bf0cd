import type { Orbit } from '../libs/acoustics/series.js';
import { parseFileName } from '../libs/measurement-files/fileName.js';
import { textFile, textOf, type DataFile } from './files/dataFile.js';
import { editRows, readRows } from './files/editText.js';
import { readWav, wavFile } from './files/wavFile.js';
import { seededRandom } from './physics/random.js';

/**
 * Makes exactly one fault in a clean set and leaves every other file as it is, to the byte. Throws when the set
 * holds nothing the fault could be made in.
 */
export type Fault = (files: readonly DataFile[]) => readonly DataFile[];

/** Text sets with one file per angle take the faults of this table; the recordings' are in `recordingFaults`. */
export const textFaults = {
  /** A file of the horizontal orbit was never saved. */
  missingAngle: (files) => without(files, angleFile(files, 'horizontal', 40).name),
  /** An angle was measured twice and both files kept, 1 dB apart. */
  duplicateAngle: (files) => {
    const original = angleFile(files, 'horizontal', 40);
    const name = `hor_40${original.name.slice(original.name.lastIndexOf('.'))}`;
    return [...files, { ...shiftLevel(original, 1), name }];
  },
  /** The orbits' files were named the wrong way round. */
  swappedOrbits: (files) =>
    files.map((file) => {
      const content = parseFileName(file.name);
      if (content?.orbit === undefined || content.angleDeg === undefined) return file;
      const other = angleFile(
        files,
        content.orbit === 'horizontal' ? 'vertical' : 'horizontal',
        content.angleDeg,
      );
      return { name: file.name, bytes: other.bytes };
    }),
  /** The turntable ran the wrong way for part of the vertical orbit: up was saved as down from 20 to 50. */
  verticalSignFlipped: (files) => mirroredVertical(files, (angle) => angle >= 20 && angle <= 50),
  /** Up was taken for down all the way: nothing in the data itself can tell. */
  verticalMirrored: (files) => mirroredVertical(files, (angle) => angle !== 0 && angle !== 180),
  /** The gain was moved for one file. */
  levelStep: (files) => replaced(files, shiftLevel(angleFile(files, 'horizontal', -60), 3)),
  /** The vertical orbit was taken at another gain: its 0 and 180 disagree with the horizontal's. */
  orbitsDisagree: (files) =>
    files.map((file) => (parseFileName(file.name)?.orbit === 'vertical' ? shiftLevel(file, 2) : file)),
  /** The cabinet stood a quarter of the distance off the turntable's axis: its right side is further away. */
  leftRightAsymmetry: (files) =>
    files.map((file) => {
      const content = parseFileName(file.name);
      if (content?.orbit !== 'horizontal' || content.angleDeg === undefined) return file;
      if (content.angleDeg === 0 || content.angleDeg === 180) return file;
      const further = 1 + 0.25 * Math.sin((content.angleDeg * Math.PI) / 180);
      return shiftLevel(file, -20 * Math.log10(further));
    }),
  /** One file was taken with the leads crossed. */
  polarityFlip: (files) =>
    replaced(
      files,
      editRows(angleFile(files, 'horizontal', -20), ([hz = 0, level = 0, phase = 0]) => [
        hz,
        level,
        phase > 0 ? phase - 180 : phase + 180,
      ]),
    ),
  /** The grille was put on for one file, and the manifest says so. */
  grilleOn: (files) => {
    const file = angleFile(files, 'horizontal', 10);
    const muffled = editRows(file, (cells) => {
      const [hz = 0, level = 0, ...rest] = cells;
      const loss = hz < 1500 ? 0 : 0.8 + 0.9 * Math.sin(5 * Math.log2(hz / 1500));
      return [hz, level - loss, ...rest];
    });
    return manifestEdited(replaced(files, muffled), (manifest) => ({
      ...manifest,
      files: [...(manifest.files ?? []), { file: file.name, conditions: { grille: 'on' } }],
    }));
  },
  /** One file was saved under two names, over the next angle's. */
  identicalFiles: (files) => {
    const from = angleFile(files, 'horizontal', 50);
    const over = angleFile(files, 'horizontal', 60);
    return replaced(files, { name: over.name, bytes: from.bytes });
  },
  /** Some magnitudes carry a minus sign. */
  impedanceNegative: (files) =>
    replaced(
      files,
      editRows(namedFile(files, 'impedance'), ([hz = 0, ohm = 0, phase = 0]) => [
        hz,
        hz > 800 && hz < 1200 ? -ohm : ohm,
        phase,
      ]),
    ),
  /** The phase lead of the reference channel was lost: angles no passive load has. */
  impedancePhaseBeyond90: (files) =>
    replaced(
      files,
      editRows(namedFile(files, 'impedance'), ([hz = 0, ohm = 0, phase = 0]) => [hz, ohm, phase + 75]),
    ),
  /** One file was exported with half the points. */
  gridDiffers: (files) =>
    replaced(
      files,
      editRows(angleFile(files, 'vertical', 30), (cells, row) => (row % 2 === 0 ? cells : undefined)),
    ),
  /** A fan was running beside the rig: the microphone hears it wherever the unit is quiet. */
  noiseFloor: (files) => {
    const peakDb = Math.max(...readRows(angleFile(files, 'horizontal', 0)).map((cells) => cells[1] ?? 0));
    const random = seededRandom(17);
    return files.map((file) =>
      parseFileName(file.name)?.role === 'directivity' ? noisy(file, peakDb - 12, random) : file,
    );
  },
  /** The window was too short: nothing below 300 Hz means anything, and it shows as a plateau. */
  shortWindow: (files) =>
    files.map((file) => (parseFileName(file.name)?.role === 'directivity' ? plateauBelow(file, 300) : file)),
  /** The manifest names another specimen. */
  serialMismatch: (files) =>
    manifestEdited(files, (manifest) => ({
      ...manifest,
      conditions: { ...manifest.conditions, serial: 'XX-0000-OTHER' },
    })),
  /** A line of one file was damaged in copying. */
  textGarbage: (files) => {
    const file = angleFile(files, 'horizontal', -50);
    const lines = textOf(file).split('\n');
    const middle = Math.floor(lines.length / 2);
    lines[middle] = '\u00e8#~ 4k..12, ?, not a number';
    return replaced(files, textFile(file.name, lines.join('\n')));
  },
} satisfies Readonly<Record<string, Fault>>;

/** Faults of sets that hold recordings. */
export const recordingFaults = {
  /** The preamplifier was turned up too far for one recording. */
  clippedRecording: (files) => {
    const file = wavWith(files, (content) => content.role === 'distortion');
    const wav = readWav(file);
    const peak = wav.samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    const pressed = wav.samples.map((sample) => Math.max(-1, Math.min(1, (sample * 2.5) / peak)));
    return replaced(files, wavFile(file.name, pressed, wav.sampleRateHz, wav.format));
  },
  /** One impulse response points the other way. */
  impulsePolarityFlip: (files) => {
    const file = wavWith(files, (content) => content.orbit === 'horizontal' && content.angleDeg === -20);
    const wav = readWav(file);
    return replaced(
      files,
      wavFile(
        file.name,
        wav.samples.map((sample) => -sample),
        wav.sampleRateHz,
        wav.format,
      ),
    );
  },
  /** All impulse responses were cut 4 ms after the sound arrives. */
  impulseShortWindow: (files) =>
    files.map((file) => {
      if (!file.name.endsWith('.wav') || parseFileName(file.name)?.role !== 'directivity') return file;
      const wav = readWav(file);
      const arrival = wav.samples.reduce(
        (best, sample, at) => (Math.abs(sample) > Math.abs(wav.samples[best]) ? at : best),
        0,
      );
      const end = arrival + Math.round(0.004 * wav.sampleRateHz);
      return wavFile(file.name, wav.samples.slice(0, end), wav.sampleRateHz, wav.format);
    }),
} satisfies Readonly<Record<string, Fault>>;

function angleFile(files: readonly DataFile[], orbit: Orbit, angleDeg: number): DataFile {
  const found = files.find((file) => {
    const content = parseFileName(file.name);
    return content?.orbit === orbit && content.angleDeg === angleDeg;
  });
  if (!found) throw new Error(`The set has no file for ${orbit} ${angleDeg} degrees.`);
  return found;
}

/** Exchanges the vertical files of +a and -a where `chosen` says so of a. */
function mirroredVertical(
  files: readonly DataFile[],
  chosen: (angleDeg: number) => boolean,
): readonly DataFile[] {
  return files.map((file) => {
    const content = parseFileName(file.name);
    if (content?.orbit !== 'vertical' || content.angleDeg === undefined) return file;
    if (!chosen(Math.abs(content.angleDeg))) return file;
    return { name: file.name, bytes: angleFile(files, 'vertical', -content.angleDeg).bytes };
  });
}

function namedFile(files: readonly DataFile[], role: string): DataFile {
  const found = files.find((file) => parseFileName(file.name)?.role === role);
  if (!found) throw new Error(`The set has no ${role} file.`);
  return found;
}

function wavWith(
  files: readonly DataFile[],
  wanted: (content: NonNullable<ReturnType<typeof parseFileName>>) => boolean,
): DataFile {
  const found = files.find((file) => {
    const content = parseFileName(file.name);
    return file.name.endsWith('.wav') && content !== undefined && wanted(content);
  });
  if (!found) throw new Error('The set has no such recording.');
  return found;
}

function without(files: readonly DataFile[], name: string): readonly DataFile[] {
  return files.filter((file) => file.name !== name);
}

function replaced(files: readonly DataFile[], changed: DataFile): readonly DataFile[] {
  return files.map((file) => (file.name === changed.name ? changed : file));
}

function shiftLevel(file: DataFile, shiftDb: number): DataFile {
  return editRows(file, ([hz = 0, level = 0, ...rest]) => [hz, level + shiftDb, ...rest]);
}

function plateauBelow(file: DataFile, edgeHz: number): DataFile {
  const edge = readRows(file).find((cells) => (cells[0] ?? 0) >= edgeHz);
  return editRows(file, (cells) => {
    const [hz = 0, level = 0, ...rest] = cells;
    return [hz, hz < edgeHz ? (edge?.[1] ?? level) : level, ...rest];
  });
}

function noisy(file: DataFile, floorDb: number, random: () => number): DataFile {
  return editRows(file, ([hz = 0, level = 0, ...rest]) => {
    // The power of narrow-band noise is exponentially distributed.
    const noise = 10 ** (floorDb / 10) * -Math.log(1 - random());
    return [hz, 10 * Math.log10(10 ** (level / 10) + noise), ...rest];
  });
}

interface ManifestShape {
  readonly conditions?: Readonly<Record<string, unknown>>;
  readonly files?: readonly Readonly<Record<string, unknown>>[];
}

function manifestEdited(
  files: readonly DataFile[],
  change: (manifest: ManifestShape) => ManifestShape,
): readonly DataFile[] {
  const file = files.find((candidate) => candidate.name === 'manifest.json');
  if (!file) throw new Error('The set has no manifest.');
  const changed = change(JSON.parse(textOf(file)) as ManifestShape);
  return replaced(files, textFile('manifest.json', `${JSON.stringify(changed, null, 1)}\n`));
}
