/** The units nearest to one, ranked by the profiles the worker left in the archive. */
import type { Database } from './database.js';
import { archiveColumns, archiveTables, hiddenFrom, type ArchiveRow } from './archiveSearch.js';
import { Prisma } from './generated/client.js';
import { profilesNow, type KeptProfile } from './keptProfiles.js';

/**
 * How far apart two units must be in one part to count as 1: decibels for response and directivity, octaves for bass.
 * The house's own choice (no source): about where the difference begins to be a matter of character.
 */
const SCALES = { response: 1, directivity: 1, bass: 1 / 3 } as const;
export type ComparedPart = keyof typeof SCALES;
const columnOf = { response: 'responseDb', directivity: 'directivityDb', bass: 'bassOctaves' } as const;
/** Bands both must have measured: most of the twenty, or one of the two bass limits. */
const LEAST_SHARED = { response: 12, directivity: 12, bass: 1 } as const;

export type ComparableRow = ArchiveRow & { readonly distance: number } & Record<
    (typeof columnOf)[ComparedPart],
    number | null
  >;
export interface ComparablesFound {
  readonly comparedBy: ComparedPart[];
  readonly rows: ComparableRow[];
  readonly withheld: number;
}

/**
 * Nearest first by the root mean square of the parts' scaled distances, each an RMS over the bands both have. Only
 * units with every part that the unit itself has: a unit is not near because less of it was measured.
 *
 * @returns undefined when the unit is not in the archive
 */
export async function nearestUnits(
  database: Database,
  unitId: string,
  ask: { readonly among: 'earlier' | 'all'; readonly limit: number },
  readerId: string,
): Promise<ComparablesFound | undefined> {
  const profiles = await profilesNow(database);
  const unit = profiles.get(unitId);
  if (!unit) return undefined;
  const comparedBy = (Object.keys(SCALES) as ComparedPart[]).filter(
    (part) => unit[columnOf[part]].length > 0,
  );
  if (comparedBy.length === 0) return { comparedBy, rows: [], withheld: 0 };
  const isCandidate = (id: string, { firstAt }: KeptProfile) =>
    id !== unitId && (ask.among === 'all' || firstAt < unit.firstAt);
  const hidden = new Set(await hiddenUnits(database, readerId));
  const nearest: Ranked[] = [];
  for (const [id, other] of profiles) {
    if (!isCandidate(id, other) || hidden.has(id)) continue;
    const distance = distanceOf(unit, other, comparedBy);
    if (distance !== undefined) keepNearest(nearest, { unitId: id, distance }, ask.limit);
  }
  const rows = await rowsOf(
    database,
    nearest.map((one) => ({ ...one, ...differencesOf(unit, profiles.get(one.unitId) ?? unit, comparedBy) })),
  );
  const withheld = [...hidden].filter((id) => {
    const other = profiles.get(id);
    return other !== undefined && isCandidate(id, other);
  });
  return { comparedBy, rows, withheld: withheld.length };
}

interface Ranked {
  readonly unitId: string;
  readonly distance: number;
}
type Differences = Pick<ComparableRow, (typeof columnOf)[ComparedPart]>;

/** Of ten thousand a few are shown: those, in order, and no more are held. */
function keepNearest(nearest: Ranked[], one: Ranked, limit: number): void {
  const isBefore = (other: Ranked) =>
    one.distance < other.distance || (one.distance === other.distance && one.unitId < other.unitId);
  const last = nearest.at(-1);
  if (nearest.length === limit && last && !isBefore(last)) return;
  const at = nearest.findIndex(isBefore);
  nearest.splice(at < 0 ? nearest.length : at, 0, one);
  if (nearest.length > limit) nearest.pop();
}

/** Undefined where one of the parts is not known of both. */
function distanceOf(
  unit: KeptProfile,
  other: KeptProfile,
  comparedBy: readonly ComparedPart[],
): number | undefined {
  let squares = 0;
  for (const part of comparedBy) {
    const column = columnOf[part];
    const difference = differenceOf(unit[column], other[column], LEAST_SHARED[part]);
    if (difference === undefined) return undefined;
    squares += (difference / SCALES[part]) ** 2;
  }
  return Math.sqrt(squares / comparedBy.length);
}

function differencesOf(
  unit: KeptProfile,
  other: KeptProfile,
  comparedBy: readonly ComparedPart[],
): Differences {
  const of = (part: ComparedPart) =>
    comparedBy.includes(part)
      ? (differenceOf(unit[columnOf[part]], other[columnOf[part]], LEAST_SHARED[part]) ?? null)
      : null;
  return { responseDb: of('response'), directivityDb: of('directivity'), bassOctaves: of('bass') };
}

/** RMS difference over the bands both have; undefined under the least number shared. */
function differenceOf(one: Float64Array, other: Float64Array, least: number): number | undefined {
  let [sum, shared] = [0, 0];
  for (let band = 0; band < one.length && band < other.length; band++) {
    const difference = one[band] - other[band];
    if (Number.isNaN(difference)) continue;
    sum += difference * difference;
    shared++;
  }
  return shared < least ? undefined : Math.sqrt(sum / shared);
}

async function hiddenUnits({ prisma }: Database, readerId: string): Promise<string[]> {
  const rows = await prisma.$queryRaw<{ unitId: string }[]>`
    select h."unitId" from ${hiddenFrom(readerId)} as h`;
  return rows.map(({ unitId }) => unitId);
}

/** In the order they are given. */
async function rowsOf(
  { prisma }: Database,
  nearest: readonly (Ranked & Differences)[],
): Promise<ComparableRow[]> {
  if (nearest.length === 0) return [];
  const ids = nearest.map(({ unitId }) => unitId);
  const rows = await prisma.$queryRaw<ArchiveRow[]>`
    select ${archiveColumns} from ${archiveTables} where a."unitId" in (${Prisma.join(ids.map((id) => Prisma.sql`${id}::uuid`))})`;
  const byId = new Map(rows.map((row) => [row.unitId, row]));
  return nearest.flatMap((one) => {
    const row = byId.get(one.unitId);
    return row ? [{ ...row, ...one }] : [];
  });
}
