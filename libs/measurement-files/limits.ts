/**
 * The most that reading a set of measurement files may take. A full set (two orbits, impedance, distortion and a few
 * recordings) is some 80 files and under 100 MB; the defaults leave room and still stop a hostile upload early.
 */
export interface ReadLimits {
  /** Files in a folder or archive, hidden ones included. */
  readonly fileCount: number;
  /** Bytes of one file, after expansion. */
  readonly fileBytes: number;
  /** Bytes of all files together, after expansion. */
  readonly totalBytes: number;
  /** Expanded over packed bytes of one archive entry; only judged above `ratioFreeBytes`. */
  readonly expansionRatio: number;
  /** Entries this small may have any ratio (a short silent recording packs very well). */
  readonly ratioFreeBytes: number;
  /** Folders within folders. */
  readonly pathDepth: number;
  readonly manifestBytes: number;
  readonly textRows: number;
  readonly textColumns: number;
  readonly lineChars: number;
  /** Samples per channel of one recording. */
  readonly audioFrames: number;
  /** Measured directions in one SOFA file. */
  readonly sofaDirections: number;
  /** Frequencies or samples per direction in one SOFA file. */
  readonly sofaLength: number;
  /** Problems reported per file before the rest is only counted. */
  readonly problemsPerFile: number;
}

const MiB = 1024 * 1024;

export const defaultLimits: ReadLimits = Object.freeze({
  fileCount: 1000,
  fileBytes: 128 * MiB,
  totalBytes: 512 * MiB,
  expansionRatio: 200,
  ratioFreeBytes: 8 * MiB,
  pathDepth: 8,
  manifestBytes: MiB,
  textRows: 1_000_000,
  textColumns: 512,
  lineChars: 65_536,
  audioFrames: 1 << 25,
  sofaDirections: 100_000,
  sofaLength: 1 << 17,
  problemsPerFile: 5,
});

/** The defaults with some of them replaced. */
export function withLimits(limits?: Partial<ReadLimits>): ReadLimits {
  return limits === undefined ? defaultLimits : { ...defaultLimits, ...limits };
}

/** A byte count as people say it: 1536 -> "1.5 kB" (binary multiples would be a pedantry here). */
export function sayBytes(bytes: number): string {
  const units = ['B', 'kB', 'MB', 'GB', 'TB'];
  let value = bytes;
  let unit = 0;
  while (value >= 1000 && unit < units.length - 1) {
    value /= 1000;
    unit += 1;
  }
  return `${Number(value.toPrecision(3))} ${units[unit]}`;
}
