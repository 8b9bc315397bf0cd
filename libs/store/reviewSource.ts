/** Everything a bundle is made from, read at one moment. */
import {
  archiveNumberNames,
  type ListeningRecord,
  type PublicNumbers,
  type ReviewText,
  type ReviewVersion,
  type UnitKind,
} from '../contracts/index.js';
import type { StoredProfile } from './archive.js';
import type { Tx } from './database.js';
import { dayOf } from './dates.js';
import type { Publication, PublicationHouse } from './generated/client.js';
import { readReviewText } from './reviewText.js';
import { storedResult } from './storedResults.js';
import type { ComputationSummary } from './unitProgress.js';
import { NotFound } from './versioned.js';

export interface SourceResult {
  readonly setName: string;
  readonly measuredOn: string;
  readonly computationId: string;
  readonly algorithmVersion: string;
  readonly inputs: readonly { readonly file: string; readonly sha256: string }[];
  readonly invented: boolean;
  readonly series: string | null;
  readonly result: unknown;
  readonly summary: ComputationSummary | null;
  readonly profile: StoredProfile | null;
  readonly figures: readonly SourceFigure[];
  /** Its response is the one the unit's numbers come from. */
  readonly leads: boolean;
}
export interface SourceFigure {
  readonly name: string;
  readonly title: string;
  readonly svg: string;
  readonly png: string;
  readonly csv: string;
  readonly json: string;
}
export interface SourceUnit {
  readonly id: string;
  readonly name: string;
  readonly kind: UnitKind;
  readonly drivers: string;
  readonly finish: string;
  readonly massKg: number | null;
  readonly ratedPowerW: number | null;
  readonly priceMinor: number | null;
  readonly currency: string;
  readonly invented: boolean;
  readonly algorithmVersion: string;
  readonly numbers: PublicNumbers;
  readonly results: readonly SourceResult[];
}
/** A unit of another review that is out, as it was published. */
export interface SourceNeighbour {
  readonly name: string;
  readonly makerName: string;
  readonly curves: unknown;
  readonly profile: StoredProfile;
}
export interface ReviewSource {
  readonly publication: Publication;
  readonly house: PublicationHouse;
  readonly teamName: string;
  readonly loanId: string;
  readonly makerName: string;
  readonly invented: boolean;
  readonly text: ReviewText;
  readonly units: readonly SourceUnit[];
  readonly listening: readonly ListeningRecord[];
  readonly neighbours: readonly SourceNeighbour[];
  /** The version a release of it becomes. */
  readonly nextNumber: number;
  /** Newest first. */
  readonly earlier: readonly ReviewVersion[];
}

export async function publicationHouse(tx: Tx): Promise<PublicationHouse> {
  const row = await tx.publicationHouse.findUnique({ where: { id: 1 } });
  if (row) return row;
  await tx.publicationHouse.createMany({ data: [{ id: 1 }], skipDuplicates: true });
  return tx.publicationHouse.findUniqueOrThrow({ where: { id: 1 } });
}

export async function reviewSource(tx: Tx, publicationId: string): Promise<ReviewSource> {
  const publication = await tx.publication.findUnique({
    where: { id: publicationId },
    include: {
      loan: { include: { maker: true, units: { orderBy: [{ createdAt: 'asc' }, { id: 'asc' }] } } },
    },
  });
  if (!publication) throw new NotFound('That publication is not there (any more).');
  const { loan, ...row } = publication;
  const [installation, house] = [
    await tx.installation.findUnique({ where: { id: 1 } }),
    await publicationHouse(tx),
  ];
  const earlier = await reviewVersions(tx, loan.id);
  const units: SourceUnit[] = [];
  for (const unit of loan.units) units.push(await sourceUnit(tx, unit));
  return {
    publication: row,
    house,
    teamName: installation?.name ?? '',
    loanId: loan.id,
    makerName: loan.maker.name,
    invented: loan.invented || loan.maker.invented,
    text: await readReviewText(tx, loan.id),
    units,
    listening: house.showListening ? await listeningRecord(tx, loan.id) : [],
    neighbours: await neighbours(tx, loan.id),
    nextNumber: 1 + (earlier[0]?.number ?? 0),
    earlier,
  };
}

/** What readers were shown of a review, newest first. */
export async function reviewVersions(tx: Tx, loanId: string): Promise<ReviewVersion[]> {
  const rows = await tx.publication.findMany({
    where: { loanId, number: { not: null } },
    orderBy: { number: 'desc' },
    select: { number: true, publishedAt: true, changeNote: true },
  });
  return rows.map(({ number, publishedAt, changeNote }) => ({
    number: number ?? 0,
    publishedAt: publishedAt?.toISOString() ?? '',
    changeNote,
  }));
}

type UnitRow = Omit<SourceUnit, 'algorithmVersion' | 'numbers' | 'results'>;

async function sourceUnit(tx: Tx, unit: UnitRow): Promise<SourceUnit> {
  const archived = await tx.archivedUnit.findUnique({
    where: { unitId: unit.id },
    select: {
      algorithmVersion: true,
      responseAnalysisId: true,
      ...(Object.fromEntries(archiveNumberNames.map((name) => [name, true])) as Record<
        (typeof archiveNumberNames)[number],
        true
      >),
    },
  });
  const { id, name, kind, drivers, finish, massKg, ratedPowerW, priceMinor, currency, invented } = unit;
  return {
    id,
    name,
    kind,
    drivers,
    finish,
    massKg,
    ratedPowerW,
    priceMinor,
    currency,
    invented,
    algorithmVersion: archived?.algorithmVersion ?? '',
    numbers: Object.fromEntries(
      archiveNumberNames.map((number) => [number, archived?.[number] ?? null]),
    ) as PublicNumbers,
    results: await resultsOf(tx, id, archived?.responseAnalysisId ?? null),
  };
}

/** The newest finished analysis of every set that counts; sets in the order they were measured. */
async function resultsOf(tx: Tx, unitId: string, leading: string | null): Promise<SourceResult[]> {
  const analyses = await tx.analysis.findMany({
    where: { set: { unitId, setAsideWhy: null }, computation: { state: 'done' } },
    distinct: ['setId'],
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    include: { set: { select: { name: true, createdAt: true } }, computation: true },
  });
  analyses.sort(
    (a, b) => a.set.createdAt.getTime() - b.set.createdAt.getTime() || (a.setId < b.setId ? -1 : 1),
  );
  return Promise.all(
    analyses.map(async ({ id, set, computation }) => ({
      setName: set.name,
      measuredOn: dayOf(set.createdAt),
      computationId: computation.id,
      algorithmVersion: computation.algorithmVersion,
      inputs: computation.inputs as unknown as SourceResult['inputs'],
      invented: computation.invented,
      series: computation.series,
      result: await storedResult(computation),
      summary: computation.summary as unknown as ComputationSummary | null,
      profile: computation.profile as unknown as StoredProfile | null,
      figures: (computation.figures ?? []) as unknown as SourceFigure[],
      leads: id === leading,
    })),
  );
}

/** Sealed sessions only: what was written before its author had seen the data, or says that it was not. */
async function listeningRecord(tx: Tx, loanId: string): Promise<ListeningRecord[]> {
  const sessions = await tx.listeningSession.findMany({
    where: { unit: { loanId }, sealedAt: { not: null } },
    orderBy: [{ sealedAt: 'asc' }, { id: 'asc' }],
    include: {
      unit: { select: { name: true } },
      listener: { select: { name: true } },
      additions: { orderBy: [{ createdAt: 'asc' }, { id: 'asc' }] },
    },
  });
  return sessions.map((session) => ({
    unitName: session.unit.name,
    by: session.listener.name,
    heardOn: dayOf(session.heardOn),
    placement: session.placement,
    levelDb: session.levelDb,
    blind: session.blind,
    sealedAt: session.sealedAt?.toISOString() ?? '',
    sealHash: session.sealHash ?? '',
    sealedText: session.sealedText,
    additions: session.additions.map(({ createdAt, remark }) => ({
      at: createdAt.toISOString(),
      text: (remark as { text?: string }).text ?? '',
    })),
    remarks: session.remarks as unknown as ListeningRecord['remarks'],
  }));
}

async function neighbours(tx: Tx, loanId: string): Promise<SourceNeighbour[]> {
  const rows = await tx.publishedUnit.findMany({
    where: { current: true, publication: { state: 'published', loanId: { not: loanId } } },
    select: { name: true, makerName: true, curves: true, profile: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  });
  return rows.flatMap(({ name, makerName, curves, profile }) =>
    curves && profile ? [{ name, makerName, curves, profile: profile as unknown as StoredProfile }] : [],
  );
}
