import type { FileKind, QualityFinding } from '../acoustics/series.js';
import type { FileEntry } from './archive/expandZip.js';
import { ACCEPTED_NAMES, foldAngle, parseFileName, type NamedContent } from './fileName.js';
import type { Manifest, ManifestFile } from './manifest/manifestSchema.js';
import { problem, quote, type Problem } from './problem.js';
import type { FileTask } from './reading.js';

/** What the caller states for files that say nothing themselves. */
export interface StatedDefaults {
  /** Level of distortion, multitone and compression files without one, dB SPL at 1 m. */
  readonly levelDb?: number;
  readonly ratedOhm?: number;
}

export type PlannedFile = Omit<FileTask, 'bytes' | 'sha256'>;

/** The manifest as read, where the set has one. */
export interface StatedManifest {
  readonly name?: string;
  readonly manifest?: Manifest;
  readonly lineOf?: (path: readonly PropertyKey[]) => number;
}

export interface FilePlan {
  readonly files: readonly PlannedFile[];
  readonly quality: readonly QualityFinding[];
  readonly problems: readonly Problem[];
}

const KINDS: Readonly<Record<string, FileKind>> = {
  csv: 'delimited-text',
  txt: 'delimited-text',
  tsv: 'delimited-text',
  tab: 'delimited-text',
  dat: 'delimited-text',
  asc: 'delimited-text',
  wav: 'wav',
  wave: 'wav',
  sofa: 'sofa',
};

/**
 * Decides what each file is taken as: the manifest first, then the name. A file that neither explains is left
 * to its content (SOFA, a table of angles) or is a problem; beside a manifest it is only noted.
 */
export function planFiles(
  files: readonly FileEntry[],
  { name: manifestName = 'manifest.json', manifest, lineOf }: StatedManifest,
  defaults: StatedDefaults,
): FilePlan {
  const names = files.map(({ name }) => name);
  const folder = manifestName.slice(0, manifestName.lastIndexOf('/') + 1);
  const planned: PlannedFile[] = [];
  const problems: Problem[] = [];
  const quality: QualityFinding[] = [];
  const listed = new Set<string>();
  (manifest?.files ?? []).forEach((entry, at) => {
    const name = findFile(names, folder, entry.file);
    if (name === undefined)
      problems.push(missingFile(manifestName, lineOf?.(['files', at, 'file']), at, entry));
    else {
      listed.add(name);
      planned.push(listedFile(name, entry, manifest, defaults));
    }
  });
  problems.push(...listedTwice(manifestName, planned));
  for (const name of names.filter((name) => !listed.has(name))) {
    const plan = namedFile(name, manifest, defaults);
    const beside = manifest?.files !== undefined;
    // Beside a list, text under a name that says nothing is no measurement; alone, its header may explain it.
    if (beside && ('code' in plan || (plan.content === undefined && plan.kind === 'delimited-text'))) {
      quality.push(notListed(name));
    } else if ('code' in plan) problems.push(plan);
    else planned.push(plan);
  }
  if (planned.length === 0 && problems.length === 0) {
    const message = 'The set holds no measurement file.';
    problems.push(
      problem(manifestName, undefined, 'empty-set', message, 'Add the files the manifest should list.'),
    );
  }
  return { files: planned, quality, problems };
}

/** Exactly, or as other systems may have changed the name: Unicode form, letter case, a folder around it. */
function findFile(names: readonly string[], folder: string, stated: string): string | undefined {
  const wanted = folder + stated.replace(/\\/g, '/').replace(/^\.\//, '');
  if (names.includes(wanted)) return wanted;
  const same = (name: string) =>
    name.normalize('NFC').toLowerCase() === wanted.normalize('NFC').toLowerCase();
  const alike = names.filter(same);
  return alike.length === 1 ? alike[0] : undefined;
}

function missingFile(
  manifestName: string,
  line: number | undefined,
  at: number,
  entry: ManifestFile,
): Problem {
  const message = `files[${at}].file names ${quote(entry.file)}, which is not in the set.`;
  return problem(
    manifestName,
    line,
    'manifest-file-missing',
    message,
    'Add the file, or correct its name (it is relative to the manifest).',
  );
}

function notListed(name: string): QualityFinding {
  const message = 'The manifest does not list this file and its name says nothing, so it was not read.';
  return { severity: 'note', code: 'not-listed', message, file: name };
}

function listedFile(
  name: string,
  entry: ManifestFile,
  manifest: Manifest | undefined,
  defaults: StatedDefaults,
): PlannedFile {
  const said = parseFileName(name);
  const content = entry.role ?? said?.role ?? (entry.angleDeg === undefined ? undefined : 'directivity');
  // The name only completes what the manifest leaves open about the same content.
  const named = said?.role === content ? said : undefined;
  const angleDeg = entry.angleDeg === undefined ? named?.angleDeg : foldAngle(entry.angleDeg);
  return withoutUndefined({
    file: name,
    kind: kindOf(name) ?? 'delimited-text',
    content,
    orbit: entry.orbit ?? named?.orbit,
    angleDeg,
    levelDb: entry.levelDb ?? named?.levelDb ?? levelDefault(content, defaults),
    columns: entry.columns,
    stimulus: entry.stimulus,
    fullScaleDb: entry.fullScaleDb ?? manifest?.fullScaleDb,
    channel: entry.channel,
    microphone: entry.microphone ?? named?.label,
    conditions: entry.conditions,
    distanceStated: (entry.conditions?.distanceM ?? manifest?.conditions?.distanceM) !== undefined,
  });
}

function namedFile(
  name: string,
  manifest: Manifest | undefined,
  defaults: StatedDefaults,
): PlannedFile | Problem {
  const kind = kindOf(name);
  if (kind === undefined) {
    const message = 'Files of this kind are not read.';
    const remedy = 'Leave it out; measurements come as delimited text (.csv, .txt), WAV or SOFA.';
    return problem(name, undefined, 'kind-not-read', message, remedy);
  }
  const said: NamedContent | undefined = parseFileName(name);
  if (said === undefined && kind === 'wav') {
    const message = 'The name does not say what this recording is.';
    return problem(
      name,
      undefined,
      'name-not-understood',
      message,
      `Name it like ${ACCEPTED_NAMES}, or list it in manifest.json.`,
    );
  }
  return withoutUndefined({
    file: name,
    kind,
    content: said?.role,
    orbit: said?.orbit,
    angleDeg: said?.angleDeg,
    levelDb: said?.levelDb ?? levelDefault(said?.role, defaults),
    fullScaleDb: manifest?.fullScaleDb,
    distanceStated: manifest?.conditions?.distanceM !== undefined,
    microphone: said?.role === 'calibration' ? said.label : undefined,
  });
}

function levelDefault(content: FileTask['content'], defaults: StatedDefaults): number | undefined {
  const needsLevel = content === 'distortion' || content === 'multitone' || content === 'compression';
  return needsLevel ? defaults.levelDb : undefined;
}

function kindOf(name: string): FileKind | undefined {
  const extension = /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase();
  // A name such as "h+030" without an extension is text.
  if (extension === undefined) return 'delimited-text';
  return Object.hasOwn(KINDS, extension) ? KINDS[extension] : undefined;
}

/** The same file may be listed for two purposes (two channels, two columns), but not twice for one. */
function listedTwice(manifestName: string, planned: readonly PlannedFile[]): Problem[] {
  const seen = new Set<string>();
  const problems: Problem[] = [];
  for (const { file, content, orbit, angleDeg, levelDb, channel, columns } of planned) {
    const key = JSON.stringify([file, content, orbit, angleDeg, levelDb, channel, columns]);
    if (seen.has(key)) {
      const message = `The manifest lists ${quote(file)} twice as the same thing.`;
      problems.push(
        problem(manifestName, undefined, 'manifest-duplicate', message, 'Remove one of the two.'),
      );
    }
    seen.add(key);
  }
  return problems;
}

type Loose<T> = { [K in keyof T]: T[K] | undefined };

function withoutUndefined(plan: Loose<PlannedFile>): PlannedFile {
  return Object.fromEntries(
    Object.entries(plan).filter(([, value]) => value !== undefined),
  ) as unknown as PlannedFile;
}
