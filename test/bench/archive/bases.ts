/**
 * What a large archive is made of: a few units computed from physics by the product's own threads, their files and
 * figures in the store, and many variations of their results.
 */
import { setParts } from '../../../seed/files/recipe.js';
import { seededRandom } from '../../../seed/physics/random.js';
import type { AnalysisResult, DirectivityMap } from '../../../libs/acoustics/analysis.js';
import { comparableProfile } from '../../../libs/acoustics/comparables/comparableProfile.js';
import type { BlobStore } from '../../../libs/blobs/blobStore.js';
import type { StoredProfile } from '../../../libs/store/archive.js';
import type { ComputationInput } from '../../../libs/store/analyses.js';
import type { ComputationSummary } from '../../../libs/store/unitProgress.js';
import { keepFigures, provenanceOf, type KeptFigure } from '../../../apps/worker/steps/files.js';
import type { ComputePool } from '../../../apps/worker/threads/computePool.js';
import { defaultSettings } from '../../../libs/acoustics/defaultSettings.js';

/** Designs of which both orbits are measured in steps of ten degrees. */
const DESIGNS = ['sedge-5', 'sedge-3', 'fen-8', 'strand-7', 'whin-4'] as const;
const SEED = 5;

export interface KeptFile extends ComputationInput {
  readonly bytes: number;
}
/** A unit as the product leaves it: everything of it that a computation's row holds. */
export interface BaseUnit {
  readonly files: readonly KeptFile[];
  readonly series: { readonly sha256: string; readonly bytes: number };
  readonly figures: readonly KeptFigure[];
  readonly figureFiles: readonly { readonly sha256: string; readonly bytes: number }[];
  readonly result: AnalysisResult;
  readonly summary: ComputationSummary;
  readonly profile: StoredProfile | null;
}

export async function computeBases(pool: ComputePool, blobs: BlobStore): Promise<BaseUnit[]> {
  return Promise.all(DESIGNS.map((designId) => computeBase(pool, blobs, designId)));
}

async function computeBase(pool: ComputePool, blobs: BlobStore, designId: string): Promise<BaseUnit> {
  const set = {
    name: 'All angles',
    takenAt: '',
    by: 'host' as never,
    designId,
    serial: '0001',
    parts: setParts,
    faults: [],
  };
  const made = await pool.makeDemoSet({ set, seed: SEED });
  const entries = made.map(({ name, bytes }) => ({ name, bytes }));
  const { series, problems } = await pool.read({ entries });
  if (!series) throw new Error(`${designId} could not be read: ${problems[0]?.message}`);
  const { result, summary, profile } = await pool.analyse({ series, settings: defaultSettings });
  const files: KeptFile[] = [];
  for (const { name, bytes } of entries) files.push({ file: name, ...(await blobs.keep(bytes)) });
  const provenance = provenanceOf({ id: designId, inputs: files, algorithmVersion: result.algorithmVersion });
  const drawn = await pool.draw({ result, title: designId, invented: true, provenance });
  const figureFiles: { sha256: string; bytes: number }[] = [];
  const counting: Pick<BlobStore, 'keep'> = {
    keep: async (bytes) => {
      const kept = await blobs.keep(bytes);
      figureFiles.push(kept);
      return kept;
    },
  };
  const figures = await keepFigures(counting as BlobStore, drawn);
  return { files, series: await blobs.keep(series), figures, figureFiles, result, summary, profile };
}

export interface Variation {
  readonly base: number;
  readonly result: AnalysisResult;
  readonly summary: ComputationSummary;
  readonly profile: StoredProfile | null;
}

/** Louder or quieter, brighter or duller, deeper or not: as the units of a shelf differ. The same for the same seed. */
export function vary(bases: readonly BaseUnit[], count: number, seed: number): Variation[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, index) => {
    const base = index % bases.length;
    const shape = {
      offsetDb: 8 * random() - 4,
      tiltDbPerOctave: 1.2 * random() - 0.6,
      bassFactor: 0.6 + random(),
    };
    return { base, ...varied(bases[base], shape) };
  });
}

interface Shape {
  readonly offsetDb: number;
  readonly tiltDbPerOctave: number;
  readonly bassFactor: number;
}

function varied(base: BaseUnit, shape: Shape): Omit<Variation, 'base'> {
  const { result, summary } = base;
  const grid = result.frequencyHz ?? [];
  const level = (values: readonly number[], at = grid) =>
    values.map((db, i) => db + shape.offsetDb + shape.tiltDbPerOctave * Math.log2((at[i] ?? 1000) / 1000));
  const curves = Object.fromEntries(
    Object.entries(result.curves ?? {}).map(([name, values]: [string, readonly number[]]) => [
      name,
      name.endsWith('Index') ? values : level(values),
    ]),
  );
  const maps = Object.fromEntries(
    Object.entries(result.maps ?? {}).map(([name, map]: [string, DirectivityMap]) => [
      name,
      { ...map, levelDb: map.levelDb.map((row) => level(row, map.frequencyHz)) },
    ]),
  );
  const bass = Object.fromEntries(
    Object.entries(result.bass ?? {}).map(([name, value]: [string, number]) => [
      name,
      name.endsWith('Hz') ? value * shape.bassFactor : value,
    ]),
  );
  const made = { ...result, curves, maps, bass } as unknown as AnalysisResult;
  return { result: made, summary: variedSummary(summary, shape), profile: comparableProfile(made) ?? null };
}

function variedSummary(summary: ComputationSummary, shape: Shape): ComputationSummary {
  const numbers = Object.fromEntries(
    Object.entries(summary.numbers).map(([name, value]) => {
      if (typeof value !== 'number') return [name, value];
      if (/^f\d+Hz$/.test(name)) return [name, value * shape.bassFactor];
      if (name === 'sensitivityDb') return [name, value + shape.offsetDb];
      if (name === 'inRoomSlopeDbPerOctave') return [name, value + shape.tiltDbPerOctave];
      return [name, value * (1 + shape.tiltDbPerOctave / 4)];
    }),
  );
  return { ...summary, numbers };
}
