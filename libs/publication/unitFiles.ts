/** The files of one unit in a bundle: figures as they were drawn, their data, directivity as SOFA, all numbers. */
import { createHash } from 'node:crypto';
import { deserialize } from 'node:v8';
import type { AnalysisResult, DirectivityMap } from '../acoustics/analysis.js';
import type { AngleResponse, MeasurementSet, Orbit } from '../acoustics/series.js';
import { comparedCurves, type MeasuredUnder } from '../contracts/index.js';
import type { FigureDescription } from '../figures/index.js';
import { writeSofa } from '../measurement-files/sofa/writeSofa.js';
import type { BuiltUnit, SourceFigure, SourceResult, SourceUnit, StoredFigure } from '../store/index.js';
import { conditionWords } from './conditionWords.js';
import type { BundleFile } from './zipFiles.js';

export type ReadBlob = (sha256: string) => Promise<Uint8Array>;
export interface UnitContext {
  readonly teamName: string;
  readonly makerName: string;
  readonly licence: string;
  readonly showPreference: boolean;
}
export interface ShownFigure {
  /** Unique on the page. */
  readonly id: string;
  readonly folder: string;
  readonly name: string;
  readonly description: FigureDescription;
}
export interface UnitFiles {
  readonly files: readonly BundleFile[];
  readonly figures: readonly ShownFigure[];
  readonly measured: readonly MeasuredUnder[];
  readonly stored: readonly StoredFigure[];
  readonly curves: BuiltUnit['curves'];
  readonly profile: BuiltUnit['profile'];
}

/** Evidence of faulty data is the team's own business; its sentence stands among the checks. */
const isPublic = ({ name }: SourceFigure): boolean => !name.startsWith('evidence-');

export async function unitFiles(
  unit: SourceUnit,
  slug: string,
  read: ReadBlob,
  context: UnitContext,
): Promise<UnitFiles> {
  const files: BundleFile[] = [];
  const figures: ShownFigure[] = [];
  const stored: StoredFigure[] = [];
  const measured: MeasuredUnder[] = [];
  for (const [index, result] of unit.results.entries()) {
    const folder = unit.results.length === 1 ? slug : `${slug}/set-${index + 1}`;
    const prefix = unit.results.length === 1 ? '' : `set-${index + 1}-`;
    for (const figure of result.figures.filter(isPublic)) {
      const { description, made } = await figureFiles(figure, folder, unit.name, read);
      files.push(...made);
      figures.push({ id: `${slug}-${prefix}${figure.name}`, folder, name: figure.name, description });
      stored.push({ ...figure, name: `${prefix}${figure.name}` });
    }
    files.push(...(await dataFiles(unit, result, folder, context)));
    measured.push(await measuredUnder(result, read));
  }
  const leading = unit.results.find(({ leads }) => leads);
  const curves = leading ? curvesOf(leading.result as AnalysisResult) : null;
  return { files, figures, measured, stored, curves, profile: leading?.profile ?? null };
}

async function figureFiles(figure: SourceFigure, folder: string, unit: string, read: ReadBlob) {
  const [svg, png, csv, json] = await Promise.all(
    [figure.svg, figure.png, figure.csv, figure.json].map((sha256) => read(sha256)),
  );
  const about = `${figure.title}, ${unit}`;
  const made = [
    { path: `figures/${folder}/${figure.name}.svg`, bytes: svg, about },
    { path: `figures/${folder}/${figure.name}.png`, bytes: png, about },
    { path: `data/${folder}/${figure.name}.csv`, bytes: csv, about: `${about}: the numbers` },
  ].map((file) => ({ ...file, bytes: file.bytes ?? new Uint8Array() }));
  const description = JSON.parse(Buffer.from(json ?? []).toString('utf8')) as FigureDescription;
  return { description, made };
}

async function dataFiles(
  unit: SourceUnit,
  source: SourceResult,
  folder: string,
  context: UnitContext,
): Promise<BundleFile[]> {
  const { predictedPreference, ...rest } = source.result as AnalysisResult;
  const result = context.showPreference && predictedPreference ? { ...rest, predictedPreference } : rest;
  const whole: BundleFile = {
    path: `data/${folder}/analysis.json`,
    bytes: Buffer.from(`${JSON.stringify(result, null, 1)}\n`),
    about: `${unit.name}: curves, numbers and findings as computed`,
  };
  const responses = responsesOf(result.maps);
  if (responses.length === 0) return [whole];
  const measuredOn = new Date(`${source.measuredOn}T00:00:00Z`);
  const sofa = await writeSofa(responses, 1, {
    title: `${unit.name}: directivity`,
    createdAt: measuredOn,
    modifiedAt: measuredOn,
    authorContact: context.teamName,
    organization: context.teamName,
    license: context.licence,
    databaseName: context.teamName,
    sourceType: 'loudspeaker',
    sourceManufacturer: context.makerName,
    referencePoint: 'the reference axis the unit was measured on',
    applicationVersion: source.algorithmVersion,
    comment: `Levels at 2.83 V and 1 m.${source.invented ? ' Invented data.' : ''}`,
  });
  const about = `${unit.name}: both orbits as SOFA (AES69, FreeFieldDirectivityTF)`;
  return [whole, { path: `data/${folder}/directivity.sofa`, bytes: sofa, about }];
}

/** The levels of both maps as responses; a row with a gap is left out, since SOFA has none. */
function responsesOf(maps: AnalysisResult['maps']): AngleResponse[] {
  const wanted: [Orbit, DirectivityMap | undefined][] = [
    ['horizontal', maps?.horizontal],
    ['vertical', maps?.vertical],
  ];
  const grid = maps?.horizontal?.frequencyHz ?? maps?.vertical?.frequencyHz ?? [];
  return wanted.flatMap(([orbit, map]) => {
    if (!map || map.frequencyHz.length !== grid.length || map.frequencyHz.some((hz, at) => hz !== grid[at]))
      return [];
    return map.angleDeg.flatMap((angleDeg, row) => {
      const levels = (map.levelDb[row] ?? []) as readonly (number | null)[];
      if (levels.length !== grid.length || levels.some((level) => !Number.isFinite(level))) return [];
      const source = { file: '', sha256: '' };
      const levelDb = Float64Array.from(levels as readonly number[]);
      return [{ orbit, angleDeg, frequencyHz: Float64Array.from(grid), levelDb, source }];
    });
  });
}

async function measuredUnder(source: SourceResult, read: ReadBlob): Promise<MeasuredUnder> {
  const result = source.result as AnalysisResult;
  const set = source.series ? (deserialize(await read(source.series)) as MeasurementSet) : undefined;
  return {
    setName: source.setName,
    measuredOn: source.measuredOn,
    conditions: conditionWords(set?.conditions ?? {}, result.settings),
    algorithmVersion: source.algorithmVersion,
    files: source.inputs.length,
    inputs: source.computationId,
    invented: source.invented,
    checks: result.quality.map(({ message }) => message),
  };
}

/** What is needed to lay the unit over others. */
function curvesOf({ frequencyHz, curves, sensitivity }: AnalysisResult): BuiltUnit['curves'] {
  if (!frequencyHz || !curves) return null;
  const kept = Object.fromEntries(
    comparedCurves.flatMap((name) => (curves[name] ? [[name, curves[name]] as const] : [])),
  );
  return { frequencyHz, curves: kept, sensitivity: sensitivity ?? null };
}

/** A unit's id among all versions ever published: the same for the same publication, however often it is built. */
export function publishedUnitId(publicationId: string, unitId: string): string {
  const hash = createHash('sha256').update(`${publicationId} ${unitId}`).digest('hex');
  const variant = ((Number.parseInt(hash[16] ?? '0', 16) & 3) | 8).toString(16);
  return [
    hash.slice(0, 8),
    hash.slice(8, 12),
    `8${hash.slice(13, 16)}`,
    `${variant}${hash.slice(17, 20)}`,
    hash.slice(20, 32),
  ].join('-');
}
