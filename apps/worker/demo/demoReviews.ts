/** The invented team's reviews that are out are published as any other: bundles through the queue, oldest first. */
import { statesAtWork } from '../../../libs/contracts/index.js';
import { change, requestBundle, theHouse, type Change, type Database } from '../../../libs/store/index.js';
import { demoScenario } from '../../../seed/scenario.js';

const Hour = 3600_000;

/** What invented readers said of the newest review. */
const answers = [
  {
    clarity: 5,
    length: 'right',
    missing: [],
    words: 'The table behind each figure is what I came for.',
    shown: true,
  },
  { clarity: 4, length: 'too-long', missing: ['comparisons'], words: '', shown: false },
  {
    clarity: 3,
    length: 'right',
    missing: ['explanations', 'practical-advice'],
    words: 'I would like to know how far from the wall it should stand in a small room.',
    shown: false,
  },
] as const;

export async function publishDemoReviews(database: Database, now: Date): Promise<void> {
  const { prisma } = database;
  const installation = await prisma.installation.findUnique({ where: { id: 1 } });
  if (!installation?.invented || (await done(database, 'demo:reviews:dated'))) return;
  if (await done(database, 'demo:reviews:asked')) {
    const open = await prisma.publication.count({ where: { state: 'building' } });
    if (open === 0) await once(database, 'demo:reviews:dated', dateAsAsked);
    return;
  }
  const [loaded, atWork] = await Promise.all([
    prisma.appliedEffect.count({ where: { key: { startsWith: 'demo:loan:' } } }),
    prisma.computation.count({ where: { state: { in: [...statesAtWork] } } }),
  ]);
  const { loans } = demoScenario({ seed: 1, today: now.toISOString().slice(0, 10) });
  if (loaded === loans.length && atWork === 0) await once(database, 'demo:reviews:asked', askForAll);
}

const done = async ({ prisma }: Database, key: string): Promise<boolean> =>
  (await prisma.appliedEffect.count({ where: { key } })) > 0;

const once = (database: Database, key: string, work: (made: Change) => Promise<void>): Promise<void> =>
  change(database, theHouse, async (made) => {
    if (await made.once(key)) await work(made);
  });

async function askForAll(made: Change): Promise<void> {
  const host = await made.tx.account.findFirst({ where: { role: 'owner' } });
  const loans = await made.tx.loan.findMany({
    where: { invented: true, publishedAt: { not: null } },
    orderBy: { publishedAt: 'asc' },
    include: { maker: true, units: { orderBy: { createdAt: 'asc' } } },
  });
  for (const loan of loans) {
    const row = await made.tx.publication.create({
      data: {
        loanId: loan.id,
        purpose: 'release',
        title: `${loan.units.map(({ name }) => name).join(' and ')} by ${loan.maker.name}`,
        askedBy: host?.id ?? null,
        askedByName: host?.name ?? theHouse.name,
        ...(loan.publishedAt ? { askedAt: loan.publishedAt } : {}),
      },
    });
    // The link of the scenario leads nowhere; the house's own is written when the review is out.
    await made.tx.loan.update({ where: { id: loan.id }, data: { publishedUrl: null } });
    requestBundle(made, row);
  }
}

/** They came out on the days the scenario tells of, and readers have answered since. */
async function dateAsAsked(made: Change): Promise<void> {
  const out = await made.tx.publication.findMany({
    where: { state: 'published' },
    orderBy: { askedAt: 'asc' },
  });
  for (const { id, askedAt } of out) {
    await made.tx.publication.update({ where: { id }, data: { publishedAt: askedAt } });
  }
  const newest = out.at(-1);
  if (!newest) return;
  await made.tx.readerFeedback.createMany({
    data: answers.map(({ shown, missing, ...answer }, index) => {
      const createdAt = new Date(newest.askedAt.getTime() + (index + 20) * Hour);
      return {
        ...answer,
        missing: [...missing],
        loanId: newest.loanId,
        publicationId: newest.id,
        visitorHash: `invented-${index + 1}`,
        createdAt,
        ...(shown ? { shownAt: createdAt, judgedByName: newest.askedByName } : {}),
      };
    }),
  });
}
