import type { AngleResponse, QualityFinding } from '../series.js';
import type { QualityContext } from './qualityContext.js';

/** A file that cuts the common range by more than this takes something from all the others. */
const NARROWER_OCTAVES = 1 / 3;
const GRID_HZ = [20, 20_000] as const;

/** Files whose frequency points are not those of most others, and files set aside for it. */
export function gridDiffers({ set, directivity }: QualityContext): QualityFinding[] {
  const usual = mostUsual(set.angles);
  if (usual === undefined) return [];
  const excluded = new Set(directivity?.excluded);
  const different = set.angles.filter((series) => !sameGrid(series, usual));
  const aside = different.filter((series) => excluded.has(series));
  const narrower = different.filter((series) => !excluded.has(series) && isNarrower(series, usual));
  const other = different.filter((series) => !aside.includes(series) && !narrower.includes(series));
  return [
    ...aside.map((series) =>
      finding(
        'blocking',
        series,
        usual,
        'It shares too little with them and was left out: measure it again.',
      ),
    ),
    ...narrower.map((series) =>
      finding(
        'check',
        series,
        usual,
        'All curves are cut to the range it shares with them: export or measure it again.',
      ),
    ),
    ...(other.length === 0 ? [] : [densityNote(other, set.angles.length)]),
  ];
}

function densityNote(other: readonly AngleResponse[], total: number): QualityFinding {
  const [first] = other;
  // Where half the files differ among themselves, that is how the set was made.
  const severity = other.length * 2 > total ? 'note' : 'check';
  const files =
    other.length === 1 ? first.source.file : `${other.length} of ${total} files (first ${first.source.file})`;
  return {
    severity,
    code: 'grid-differs',
    message: `The frequency points of ${files} are not those of most files. All are brought to one grid; check that they come from the same measurement settings.`,
    file: first.source.file,
  };
}

function finding(
  severity: 'blocking' | 'check',
  series: AngleResponse,
  usual: AngleResponse,
  consequence: string,
): QualityFinding {
  const message = `${series.source.file} covers ${range(series)}, most files ${range(usual)}. ${consequence}`;
  return { severity, code: 'grid-differs', message, file: series.source.file };
}

function mostUsual(angles: readonly AngleResponse[]): AngleResponse | undefined {
  const groups = new Map<string, AngleResponse[]>();
  for (const series of angles) {
    if (series.frequencyHz.length === 0) continue;
    const { frequencyHz } = series;
    const print = [
      frequencyHz.length,
      frequencyHz[0],
      frequencyHz[frequencyHz.length >> 1],
      frequencyHz.at(-1),
    ].join();
    groups.set(print, [...(groups.get(print) ?? []), series]);
  }
  const largest = [...groups.values()].reduce<AngleResponse[]>(
    (most, group) => (group.length > most.length ? group : most),
    [],
  );
  return largest[0];
}

function sameGrid(one: AngleResponse, other: AngleResponse): boolean {
  const [a, b] = [one.frequencyHz, other.frequencyHz];
  // Rounding to a digit fewer is no other grid.
  return a === b || (a.length === b.length && a.every((hz, at) => Math.abs(hz - b[at]) <= 1e-3 * b[at]));
}

function isNarrower(series: AngleResponse, usual: AngleResponse): boolean {
  const octaves = (one: number, other: number): number => Math.log2(Math.max(one, 1) / Math.max(other, 1));
  const lost = Math.max(
    octaves(Math.max(startHz(series), GRID_HZ[0]), Math.max(startHz(usual), GRID_HZ[0])),
    octaves(Math.min(endHz(usual), GRID_HZ[1]), Math.min(endHz(series), GRID_HZ[1])),
  );
  return lost > NARROWER_OCTAVES;
}

function startHz({ frequencyHz }: AngleResponse): number {
  return frequencyHz.find((hz) => hz > 0) ?? 0;
}

function endHz({ frequencyHz }: AngleResponse): number {
  return frequencyHz.at(-1) ?? 0;
}

function range(series: AngleResponse): string {
  return `${Math.round(startHz(series))} Hz to ${Math.round(endHz(series))} Hz in ${series.frequencyHz.length} points`;
}
