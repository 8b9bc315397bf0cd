/** A bundle's way: asked for, built, and, if it is a release, out with it in one transaction. */
import {
  archiveNumberNames,
  stageWords,
  type PublicUnitContent,
  type ReviewContent,
  type ReviewFigure,
} from '../contracts/index.js';
import { onlyTheEmbargo, standingInTheWay } from '../loan-life/index.js';
import type { StoredProfile } from './archive.js';
import { json, type Change } from './change.js';
import type { Tx } from './database.js';
import { instantOf } from './dates.js';
import { Prisma, type Publication, type PublicationHouse, type PublishedUnit } from './generated/client.js';
import { loanFacts } from './loanFacts.js';
import { readReviewText } from './reviewText.js';

export type PublicationRow = Publication;
export type PublicationHouseRow = PublicationHouse;
export type PublishedUnitRow = PublishedUnit;

export interface BuiltBundle {
  readonly sha256: string;
  readonly bytes: number;
  readonly manifest: object;
  readonly content: ReviewContent;
  /** In the order of `content.units`. */
  readonly units: readonly BuiltUnit[];
}
export interface BuiltUnit {
  readonly unitId: string;
  readonly content: PublicUnitContent;
  readonly curves: object | null;
  readonly profile: StoredProfile | null;
  readonly figures: readonly StoredFigure[];
}
export interface StoredFigure extends Pick<ReviewFigure, 'name' | 'title'> {
  readonly svg: string;
  readonly png: string;
  readonly csv: string;
  readonly json: string;
}

/** Asks for the bundle to be built; once for each version of the row. */
export function requestBundle(made: Change, publication: Pick<Publication, 'id' | 'version'>): void {
  made.request('build-bundle', `bundle-${publication.id}-${publication.version}`, {
    publicationId: publication.id,
  });
}

/** How far the building is; nothing when it is no longer wanted. */
export async function bundleProgress(made: Change, id: string, progress: number): Promise<boolean> {
  const { count } = await made.tx.publication.updateMany({
    where: { id, state: 'building' },
    data: { progress },
  });
  if (count === 1) await tellPublication(made, id, 'is building a bundle');
  return count === 1;
}

/** Keeps what was built. A release goes out only if nothing stands in its way at this very moment. */
export async function keepBundle(
  made: Change,
  id: string,
  built: BuiltBundle,
  now: Date,
  publicUrl: string | undefined,
): Promise<void> {
  const publication = await lockWithLoan(made.tx, id);
  if (publication?.state !== 'building') return;
  const kept = {
    bundle: built.sha256,
    bundleBytes: built.bytes,
    manifest: json(built.manifest),
    content: json(built.content),
    progress: 1,
  };
  if (publication.purpose === 'preview') {
    await made.tx.publication.update({
      where: { id },
      data: { ...kept, state: 'ready', version: { increment: 1 } },
    });
    await tellPublication(made, id, 'has a preview of the bundle ready');
    return;
  }
  const why = await inTheWay(made.tx, publication, built, now);
  if (why) await hold(made, publication, why);
  else await release(made, publication, built, kept, now, publicUrl);
}

/** The loan is held until the commit: neither its embargo nor its verdict changes under the publication. */
async function lockWithLoan(tx: Tx, id: string): Promise<Publication | null> {
  const found = await tx.publication.findUnique({ where: { id }, select: { loanId: true } });
  if (!found) return null;
  await tx.$queryRaw`select 1 from "Loan" where "id" = ${found.loanId}::uuid for update`;
  return tx.publication.findUnique({ where: { id } });
}

interface InTheWay {
  readonly reason: string;
  /** Only the embargo, and it was asked to wait for it: it goes on waiting. */
  readonly waitsUntil: Date | null;
}

async function inTheWay(
  tx: Tx,
  publication: Publication,
  built: BuiltBundle,
  now: Date,
): Promise<InTheWay | undefined> {
  const facts = await loanFacts(tx, publication.loanId, now);
  const open = standingInTheWay(facts, {
    codes: publication.overrides,
    embargoUntil: instantOf(publication.overriddenEmbargo),
  });
  if (open.length > 0) {
    const waits = publication.publishAfter !== null && onlyTheEmbargo(open) && facts.embargoUntil !== null;
    return {
      reason: open.map(({ sentence }) => `Not met: ${sentence}`).join(' '),
      waitsUntil: waits ? new Date(facts.embargoUntil) : null,
    };
  }
  const { version } = await readReviewText(tx, publication.loanId);
  if (version !== built.content.text.version) {
    return { reason: 'The verdict was changed while the bundle was built. Ask again.', waitsUntil: null };
  }
  return undefined;
}

async function hold(made: Change, { id }: Publication, { reason, waitsUntil }: InTheWay): Promise<void> {
  const data = waitsUntil
    ? { state: 'scheduled' as const, publishAfter: waitsUntil, progress: 0 }
    : { state: 'refused' as const, reason };
  await made.tx.publication.update({ where: { id }, data: { ...data, version: { increment: 1 } } });
  await tellPublication(made, id, waitsUntil ? 'waits for the embargo’s end' : 'could not be published', {
    action: waitsUntil ? 'publication-waits' : 'publication-refused',
    reason,
  });
}

async function release(
  made: Change,
  publication: Publication,
  built: BuiltBundle,
  kept: object,
  now: Date,
  publicUrl: string | undefined,
): Promise<void> {
  const { tx } = made;
  const { id, loanId } = publication;
  const earlier = await tx.publication.findMany({ where: { loanId, number: { not: null } } });
  const number = 1 + Math.max(0, ...earlier.map((one) => one.number ?? 0));
  await tx.publishedUnit.updateMany({ where: { publication: { loanId } }, data: { current: false } });
  await tx.publication.updateMany({
    where: { loanId, state: 'published' },
    data: { state: 'superseded', version: { increment: 1 } },
  });
  await tx.publication.update({
    where: { id },
    data: { ...kept, state: 'published', number, publishedAt: now, version: { increment: 1 } },
  });
  await tx.publishedUnit.createMany({
    data: built.units.map((unit, position) => publishedRow(id, unit, position)),
  });
  const loan = await tx.loan.findUniqueOrThrow({ where: { id: loanId } });
  const moves = loan.stage === 'drafting';
  const after = await tx.loan.update({
    where: { id: loanId },
    data: {
      publishedAt: loan.publishedAt ?? now,
      publishedUrl: loan.publishedUrl || `${publicUrl ?? ''}/reviews/${loanId}`,
      ...(moves ? { stage: 'published' } : {}),
      version: { increment: 1 },
    },
  });
  const what = number === 1 ? 'published the review' : `published correction ${number} of the review`;
  const sentence = moves ? `${what} and moved the loan to ${stageWords.published.toLowerCase()}` : what;
  made.record({
    action: publication.overrideReason ? 'review-published-by-override' : 'review-published',
    subject: 'publication',
    subjectId: id,
    loanId,
    sentence,
    after: { number, bundle: built.sha256, changeNote: publication.changeNote },
    reason: publication.overrideReason ?? (publication.changeNote || null),
  });
  made.publish('team', 'loan-changed', {
    loanId,
    title: after.title,
    stage: after.stage,
    by: publication.askedByName,
    sentence,
  });
  const news = { loanId, title: publication.title, number, changeNote: publication.changeNote };
  made.publish('team', 'review-published', news);
  made.publish('published', 'review-published', news);
  made.request('place-bundle', `place-${id}`, { publicationId: id });
}

function publishedRow(
  publicationId: string,
  { unitId, content, curves, profile, figures }: BuiltUnit,
  position: number,
): Prisma.PublishedUnitCreateManyInput {
  const { id, name, makerName, kind, drivers, finish, priceMinor, currency, invented } = content;
  return {
    id,
    publicationId,
    unitId,
    position,
    name,
    makerName,
    kind,
    drivers,
    finish,
    priceMinor,
    currency,
    invented,
    algorithmVersion: content.algorithmVersion,
    ...Object.fromEntries(archiveNumberNames.map((number) => [number, content.numbers[number]])),
    curves: curves ? json(curves) : Prisma.DbNull,
    profile: profile ? json(profile) : Prisma.DbNull,
    figures: json(figures),
  };
}

/** The building failed for good: with a reason people can read. */
export async function failBundle(made: Change, id: string, reason: string): Promise<void> {
  const { count } = await made.tx.publication.updateMany({
    where: { id, state: 'building' },
    data: { state: 'refused', reason, version: { increment: 1 } },
  });
  if (count === 1)
    await tellPublication(made, id, 'could not build the bundle', { action: 'publication-refused', reason });
}

/** Those whose embargo has ended are built now; whoever looks at the same time starts each only once. */
export async function startDuePublications(made: Change, now: Date): Promise<number> {
  const due = await made.tx.publication.findMany({
    where: { state: 'scheduled', publishAfter: { lte: now } },
    select: { id: true, version: true },
  });
  for (const { id, version } of due) {
    const { count } = await made.tx.publication.updateMany({
      where: { id, version, state: 'scheduled' },
      data: { state: 'building', version: { increment: 1 } },
    });
    if (count === 0) continue;
    requestBundle(made, { id, version: version + 1 });
    await tellPublication(made, id, 'is publishing what waited for its embargo');
  }
  return due.length;
}

/** An event for open dashboards; a line in the history where it is more than progress. */
export async function tellPublication(
  made: Change,
  id: string,
  sentence: string,
  line?: { readonly action: string; readonly reason?: string | null },
): Promise<void> {
  const { loanId, title } = await made.tx.publication.findUniqueOrThrow({ where: { id } });
  made.publish('team', 'publication-changed', { loanId, title, sentence });
  if (line) {
    made.record({
      action: line.action,
      subject: 'publication',
      subjectId: id,
      loanId,
      sentence,
      reason: line.reason ?? null,
    });
  }
}
