/** From what the house knows of a review to the bytes readers get. The same source gives the same bytes. */
import type {
  BundlePageData,
  ComparedCurves,
  PublicNumbers,
  PublicUnitContent,
  ReviewContent,
  ReviewVersion,
} from '../contracts/index.js';
import { cautionsFor } from '../loan-life/index.js';
import {
  describeComparison,
  drawSvg,
  figureCsv,
  type ComparedUnit,
  type FigureDescription,
} from '../figures/index.js';
import { drawPngAside } from '../figures/png/drawPng.js';
import type { BuiltBundle, BuiltUnit, ReviewSource, SourceUnit } from '../store/index.js';
import { manifestOf } from './manifest.js';
import { nearestPublished } from './nearestPublished.js';
import { numbersCsv } from './numbersCsv.js';
import { readMeText } from './readMeText.js';
import { reviewPage, type PageAssets } from './reviewPage.js';
import { publishedUnitId, unitFiles, type ReadBlob, type UnitFiles } from './unitFiles.js';
import { zipFiles, type BundleFile } from './zipFiles.js';

export interface Bundle {
  readonly zip: Buffer;
  readonly built: Omit<BuiltBundle, 'sha256' | 'bytes'>;
}

const PICTURE_WIDTH_PX = 1600;

export async function buildBundle(
  source: ReviewSource,
  read: ReadBlob,
  assets: PageAssets,
  progress: (done: number) => Promise<void> = () => Promise.resolve(),
): Promise<Bundle> {
  const slugs = slugsOf(source.units.map(({ name }) => name));
  const parts: UnitFiles[] = [];
  for (const [index, unit] of source.units.entries()) {
    parts.push(await unitFiles(unit, slugs[index] ?? '', read, contextOf(source)));
    await progress(0.1 + (0.6 * (index + 1)) / source.units.length);
  }
  const content = contentOf(source, parts);
  const compared = comparedOf(source, parts);
  const comparison = comparisonOf(source, compared);
  const files: BundleFile[] = [
    ...parts.flatMap((part) => part.files),
    ...(comparison ? await comparisonFiles(comparison) : []),
    ...sharedFiles(content),
  ];
  const version = versionOf(source);
  const page = reviewPage(
    {
      content,
      units: parts.map(({ figures }, index) => ({ slug: slugs[index] ?? '', figures })),
      comparison,
      data: pageData(parts, comparison ? compared : [], content),
      files,
      version,
      earlier: source.earlier,
    },
    assets,
  );
  files.push({ path: 'index.html', bytes: Buffer.from(page), about: 'The review; open it in any browser' });
  files.push({
    path: 'README.txt',
    bytes: Buffer.from(readMeText(content, version)),
    about: 'What this is and how to check it',
  });
  await progress(0.85);
  const manifest = manifestOf(content, version, source.earlier, files);
  const listed = {
    path: 'manifest.json',
    bytes: Buffer.from(`${JSON.stringify(manifest, null, 2)}\n`),
    about: '',
  };
  const zip = await zipFiles([...files, listed]);
  return { zip, built: { manifest, content, units: builtUnits(source, content, parts) } };
}

const contextOf = ({ teamName, makerName, house }: ReviewSource) => ({
  teamName,
  makerName,
  licence: `${house.licenceName} ${house.licenceUrl}`.trim(),
  showPreference: house.showPreference,
});

/** Lower-case words for folders and addresses inside the page, each once. */
export function slugsOf(names: readonly string[]): string[] {
  const taken = new Set([
    'review',
    'numbers',
    'compare',
    'listening',
    'measured',
    'cautions',
    'data',
    'licence',
    'main',
  ]);
  return names.map((name) => {
    const plain = name
      .normalize('NFKD')
      .toLowerCase()
      .replaceAll(/[^a-z0-9]+/g, '-')
      .replaceAll(/^-|-$/g, '');
    const wanted = plain === '' ? 'unit' : plain.slice(0, 60);
    let slug = wanted;
    for (let count = 2; taken.has(slug); count++) slug = `${wanted}-${count}`;
    taken.add(slug);
    return slug;
  });
}

function contentOf(source: ReviewSource, parts: readonly UnitFiles[]): ReviewContent {
  const { house, units } = source;
  const content = units.map((unit, index): PublicUnitContent => {
    const { name, kind, drivers, finish, massKg, priceMinor, currency, algorithmVersion } = unit;
    return {
      id: publishedUnitId(source.publication.id, unit.id),
      name,
      makerName: source.makerName,
      kind,
      drivers,
      finish,
      massKg,
      priceMinor,
      currency,
      invented: unit.invented || unit.results.some(({ invented }) => invented),
      algorithmVersion,
      numbers: publicNumbers(unit, house.showPreference),
      measured: [...(parts[index]?.measured ?? [])],
    };
  });
  return {
    title: source.publication.title,
    teamName: source.teamName,
    makerName: source.makerName,
    invented: source.invented || content.some(({ invented }) => invented),
    text: source.text,
    units: content,
    listening: [...source.listening],
    cautions: [
      ...new Set([
        ...units.flatMap((unit) => cautionsFor(unit)).filter(isForReaders),
        'Results are measurements of one unit on one day; room, unit spread and method limit them.',
      ]),
    ],
    licence: { name: house.licenceName, url: house.licenceUrl, words: house.licenceWords },
  };
}

/** What concerns only whoever borrows a unit is no caution for readers. */
const isForReaders = (caution: string): boolean => !caution.startsWith('Borrowed unit');

/** An estimate of preference is shown only where the team has chosen so: its method has been patented. */
const publicNumbers = ({ numbers }: SourceUnit, showPreference: boolean): PublicNumbers =>
  showPreference ? numbers : { ...numbers, predictedPreference: null, predictedPreferenceIgnoringBass: null };

interface StoredCurves {
  frequencyHz: number[];
  curves: Record<string, number[]>;
  sensitivity: ComparedCurves['sensitivity'];
}

/** The review's own units first, then those most like the first of them. */
function comparedOf(source: ReviewSource, parts: readonly UnitFiles[]): ComparedCurves[] {
  const own = source.units.flatMap((unit, index): ComparedCurves[] => {
    const curves = parts[index]?.curves as StoredCurves | null | undefined;
    return curves ? [{ label: unit.name, ...curves, own: true }] : [];
  });
  const profile = parts.find((part) => part.profile)?.profile ?? null;
  const others = nearestPublished(profile, source.neighbours).map(
    ({ name, makerName, curves }): ComparedCurves => ({
      label: own.some(({ label }) => label === name) ? `${makerName} ${name}` : name,
      ...(curves as StoredCurves),
      own: false,
    }),
  );
  return [...own, ...others];
}

function comparisonOf(
  source: ReviewSource,
  compared: readonly ComparedCurves[],
): FigureDescription | undefined {
  if (compared.length < 2 || !compared.some(({ own }) => own)) return undefined;
  const units = compared.map(
    ({ label, frequencyHz, curves, sensitivity }) =>
      ({
        label,
        result: { frequencyHz, curves, ...(sensitivity ? { sensitivity } : {}) },
      }) as unknown as ComparedUnit,
  );
  return describeComparison(units, 'listeningWindow', 'sensitivity', {
    title: compared.map(({ label }) => label).join(' · '),
    provenance: PROVENANCE,
    invented: source.invented,
  });
}
const PROVENANCE = 'Each unit as it was published';

async function comparisonFiles(comparison: FigureDescription): Promise<BundleFile[]> {
  const svg = drawSvg(comparison, { size: 'screen', theme: 'paper' });
  const about = comparison.title;
  return [
    { path: 'figures/comparison.svg', bytes: Buffer.from(svg), about },
    { path: 'figures/comparison.png', bytes: await drawPngAside(svg, PICTURE_WIDTH_PX), about },
    {
      path: 'data/comparison.csv',
      bytes: Buffer.from(figureCsv(comparison)),
      about: `${about}: the numbers`,
    },
  ];
}

function sharedFiles(content: ReviewContent): BundleFile[] {
  const numbers = {
    path: 'data/numbers.csv',
    bytes: Buffer.from(numbersCsv(content.units)),
    about: 'The numbers at a glance, in full',
  };
  if (content.listening.length === 0) return [numbers];
  const record = Buffer.from(`${JSON.stringify(content.listening, null, 2)}\n`);
  return [
    numbers,
    { path: 'listening/record.json', bytes: record, about: 'Sealed listening sessions with hash and time' },
  ];
}

function versionOf({ publication, nextNumber }: ReviewSource): ReviewVersion | null {
  if (publication.purpose === 'preview') return null;
  // As it was asked for, so that a job that runs twice builds the same bytes.
  const statedAt = publication.publishAfter ?? publication.askedAt;
  return { number: nextNumber, publishedAt: statedAt.toISOString(), changeNote: publication.changeNote };
}

const pageData = (
  parts: readonly UnitFiles[],
  compared: ComparedCurves[],
  { invented }: ReviewContent,
): BundlePageData => ({
  figures: parts.flatMap(({ figures }) => figures.map(({ id, description }) => ({ id, description }))),
  compared,
  invented,
  provenance: PROVENANCE,
});

function builtUnits(source: ReviewSource, content: ReviewContent, parts: readonly UnitFiles[]): BuiltUnit[] {
  return source.units.flatMap((unit, index) => {
    const own = content.units[index];
    const part = parts[index];
    if (!own || !part) return [];
    const { stored: figures, curves, profile } = part;
    return [{ unitId: unit.id, content: own, curves, profile, figures }];
  });
}
