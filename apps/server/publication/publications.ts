/** Publishing a loan's review: previews, releases now or at the embargo's end, corrections. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AskPreview,
  AskPublication,
  CancelPublication,
  ChangePublicationHouse,
  Condition,
  LoanPublicationView,
  PublicationHouseView,
} from '../../../libs/contracts/index.js';
import { publicationConditions, REVIEW_WRITTEN, type LoanFacts } from '../../../libs/loan-life/index.js';
import {
  change,
  differences,
  loanFacts,
  noteOpenings,
  publicationHouse,
  requestBundle,
  reviewVersions,
  sealedFrom,
  StaleVersion,
  tellPublication,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentHouse, presentPublication } from './present.js';

const LISTED = 30;

@Injectable()
export class Publications {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async ofLoan(loanId: string, by: SignedIn): Promise<LoanPublicationView> {
    const { prisma } = this.config.database;
    const loan = await prisma.loan.findUnique({
      where: { id: loanId },
      include: { maker: true, units: { orderBy: { createdAt: 'asc' } } },
    });
    if (!loan) throw refuse.notFound('loan');
    const [facts, rows, earlier] = await Promise.all([
      loanFacts(prisma, loanId, new Date()),
      prisma.publication.findMany({ where: { loanId }, orderBy: { askedAt: 'desc' }, take: LISTED }),
      reviewVersions(prisma, loanId),
    ]);
    const last = rows.find(({ state }) => state === 'published');
    const units = loan.units.map(({ name }) => name).join(', ');
    return {
      loanId,
      loanVersion: loan.version,
      suggestedTitle: last?.title ?? `${loan.maker.name}: ${units}`.slice(0, 160),
      embargoUntil: facts.embargoUntil,
      conditions: publicationConditions(facts),
      mayOverride: by.role === 'owner',
      correction: earlier.length > 0,
      hasFolder: this.config.publishFolder !== undefined,
      publications: rows.map((row) => presentPublication(row, this.config.messages.publicUrl)),
    };
  }

  async preview(
    loanId: string,
    ask: z.output<typeof AskPreview>,
    by: SignedIn,
  ): Promise<LoanPublicationView> {
    const { suggestedTitle: title } = await this.ofLoan(loanId, by);
    await change(this.config.database, by, async (made) => {
      await this.#lockLoan(made, loanId, ask.version);
      const running = await made.tx.publication.count({
        where: { loanId, purpose: 'preview', state: 'building' },
      });
      if (running > 0) throw refuse.wrong('already-building', 'A preview is being built already.');
      const row = await made.tx.publication.create({
        data: { loanId, purpose: 'preview', title, askedBy: by.id, askedByName: by.name },
      });
      requestBundle(made, row);
      await tellPublication(made, row.id, 'asked for a preview of the bundle', { action: 'preview-asked' });
    });
    return this.ofLoan(loanId, by);
  }

  async publish(
    loanId: string,
    ask: z.output<typeof AskPublication>,
    by: SignedIn,
  ): Promise<LoanPublicationView> {
    await change(this.config.database, by, async (made) => {
      await this.#lockLoan(made, loanId, ask.version);
      await refuseSecond(made, loanId);
      const earlier = await reviewVersions(made.tx, loanId);
      if (earlier.length > 0 && ask.changeNote.length < 10) {
        throw refuse.wrong(
          'change-note',
          'A version is out already: say what the correction changes.',
          'Readers see the note; a sentence is enough.',
        );
      }
      const facts = await loanFacts(made.tx, loanId, new Date());
      const waits = ask.when === 'at-embargo-end';
      const open = unmetOf(facts, waits);
      if (open.length > 0) refuseUnlessOverridden(open, ask.overrideReason, by);
      const row = await made.tx.publication.create({
        data: {
          loanId,
          purpose: 'release',
          state: waits ? 'scheduled' : 'building',
          title: ask.title,
          changeNote: earlier.length > 0 ? ask.changeNote : '',
          askedBy: by.id,
          askedByName: by.name,
          publishAfter: waits && facts.embargoUntil ? new Date(facts.embargoUntil) : null,
          overrideReason: open.length > 0 ? (ask.overrideReason ?? null) : null,
          overrides: open.map(({ code }) => code),
          overriddenEmbargo:
            open.some(({ code }) => code === 'embargo-over') && facts.embargoUntil
              ? new Date(facts.embargoUntil)
              : null,
        },
      });
      if (!waits) requestBundle(made, row);
      await tellPublication(made, row.id, askedWords(waits, open), {
        action: open.length > 0 ? 'publication-asked-by-override' : 'publication-asked',
        reason:
          open.length > 0
            ? `${ask.overrideReason ?? ''} (unmet: ${open.map(({ sentence }) => sentence).join(' ')})`
            : null,
      });
    });
    return this.ofLoan(loanId, by);
  }

  /** What waits for its embargo, or is still being built, is called off. */
  async cancel(
    id: string,
    ask: z.output<typeof CancelPublication>,
    by: SignedIn,
  ): Promise<LoanPublicationView> {
    const loanId = await change(this.config.database, by, async (made) => {
      const row = await made.tx.publication.findUnique({ where: { id } });
      if (!row) throw refuse.notFound('publication');
      if ((await sealedFrom(made.tx, by.id)).loans.has(row.loanId)) throw refuse.sealed();
      await made.tx.$queryRaw`select 1 from "Loan" where "id" = ${row.loanId}::uuid for update`;
      const now = await made.tx.publication.findUniqueOrThrow({ where: { id } });
      if (now.version !== ask.version)
        throw new StaleVersion(presentPublication(now, this.config.messages.publicUrl));
      if (now.state !== 'scheduled' && now.state !== 'building') {
        throw refuse.wrong('not-waiting', 'It neither waits nor is being built; nothing can be called off.');
      }
      await writeVersion(made.tx.publication, id, ask.version, { state: 'cancelled' });
      await tellPublication(made, id, 'called the publication off', { action: 'publication-cancelled' });
      return row.loanId;
    });
    return this.ofLoan(loanId, by);
  }

  /** A bundle for a member. What is not out yet is data of its units: whoever takes it has seen them. */
  async bundle(id: string, by: SignedIn): Promise<{ sha256: string; name: string }> {
    const { database } = this.config;
    const row = await database.prisma.publication.findUnique({
      where: { id },
      include: { loan: { include: { units: { select: { id: true } } } } },
    });
    if (!row?.bundle) throw refuse.notFound('bundle');
    if ((await sealedFrom(database.prisma, by.id)).loans.has(row.loanId)) throw refuse.sealed();
    await noteOpenings(
      database,
      row.loan.units.map((unit) => unit.id),
      by.id,
    );
    return { sha256: row.bundle, name: bundleName(row.title, row.number) };
  }

  async house(): Promise<PublicationHouseView> {
    return presentHouse(await publicationHouse(this.config.database.prisma));
  }

  async changeHouse(
    ask: z.output<typeof ChangePublicationHouse>,
    by: SignedIn,
  ): Promise<PublicationHouseView> {
    const { version, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const before = await publicationHouse(made.tx);
      const { count } = await made.tx.publicationHouse.updateMany({
        where: { id: 1, version },
        data: { ...fields, version: { increment: 1 } },
      });
      if (count === 0) throw new StaleVersion(presentHouse(before));
      const after = await publicationHouse(made.tx);
      made.record({
        action: 'publication-house-changed',
        subject: 'publication-house',
        subjectId: '1',
        sentence: 'changed how reviews are published',
        ...differences(presentHouse(before), presentHouse(after)),
      });
    });
    return this.house();
  }

  /** Held until the commit: what the conditions were tested on cannot change under it. */
  async #lockLoan(made: Change, loanId: string, version: number): Promise<void> {
    await made.tx.$queryRaw`select 1 from "Loan" where "id" = ${loanId}::uuid for update`;
    const loan = await made.tx.loan.findUnique({ where: { id: loanId } });
    if (!loan) throw refuse.notFound('loan');
    if (loan.version !== version) throw new StaleVersion(loan);
  }
}

async function refuseSecond(made: Change, loanId: string): Promise<void> {
  const running = await made.tx.publication.findFirst({
    where: { loanId, purpose: 'release', state: { in: ['scheduled', 'building'] } },
  });
  if (!running) return;
  throw running.state === 'scheduled'
    ? refuse.wrong(
        'already-scheduled',
        'A publication waits for its embargo already.',
        'Call that one off first.',
      )
    : refuse.wrong('already-building', 'A publication is being built already.');
}

/** Waiting for the embargo settles that one condition, and needs one that is still to end. */
function unmetOf(facts: LoanFacts, waits: boolean): Condition[] {
  const open = publicationConditions(facts).filter(({ met }) => !met);
  if (!waits) return open;
  if (facts.embargoUntil === null || Date.parse(facts.embargoUntil) <= facts.now.getTime()) {
    throw refuse.wrong(
      'no-embargo',
      'No embargo stands any more: there is nothing to wait for.',
      'Publish now.',
    );
  }
  return open.filter(({ code }) => code !== 'embargo-over');
}

function refuseUnlessOverridden(open: Condition[], reason: string | undefined, by: SignedIn): void {
  const words = open.map(({ sentence }) => sentence).join(' ');
  const never = open.some(({ code }) => code === REVIEW_WRITTEN);
  if (reason === undefined || never) {
    throw new Refused(422, {
      code: 'conditions-unmet',
      message: `Not yet: ${words}`,
      remedy: never
        ? 'Bring the loan to drafting and write the verdict first.'
        : 'Settle the open points, or let the owner publish with a reason.',
      conditions: open,
    });
  }
  if (by.role !== 'owner') {
    throw new Refused(403, {
      code: 'may-not-override',
      message: `Not yet: ${words}`,
      remedy: 'Only the owner may publish against its conditions.',
      conditions: open,
    });
  }
}

function askedWords(waits: boolean, open: readonly Condition[]): string {
  if (waits) return 'set the review to be published when its embargo ends';
  if (open.some(({ code }) => code === 'embargo-over')) return 'publishes the review before its embargo ends';
  return open.length > 0 ? 'publishes the review against open conditions' : 'publishes the review';
}

export function bundleName(title: string, number: number | null): string {
  const plain = title
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '');
  return `${plain === '' ? 'review' : plain.slice(0, 80)}-${number === null ? 'preview' : `version-${number}`}.zip`;
}
