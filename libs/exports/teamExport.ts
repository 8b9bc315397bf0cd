/** Everything the team has, in open formats: a folder for each loan, and beside them what belongs to all. */
import { readReviewText, storedResult, type Database, type Tx } from '../store/index.js';
import { asCsv } from './csvTable.js';
import { asJson, nestedPath, pathPart, type ExportEntry } from './exportEntry.js';
import { calendarOf } from './ownExport.js';
import { readMe } from './readMe.js';

/** Rows read at once; results are large. */
const PAGE = 500;

export async function* teamExport({ prisma }: Database): AsyncGenerator<ExportEntry> {
  const installation = await prisma.installation.findUniqueOrThrow({ where: { id: 1 } });
  yield readMe(`Everything of ${installation.name}`, [
    ['loans/NAME/loan.json', 'terms, stages, maker, units, the measurement plan'],
    ['loans/NAME/accessories.csv, reports.json, photographs/, proofs/', 'the crate on its way in and out'],
    ['loans/NAME/units/NAME/sets/', 'measurement sets with their original files'],
    ['loans/NAME/units/NAME/analyses/', 'each result as JSON'],
    [
      'loans/NAME/units/NAME/listening/, evidence.json',
      'what was heard, with seals, and what was made of it',
    ],
    ['loans/NAME/draft.md, comments.csv, sign-offs.csv', 'the review as it is written'],
    ['loans/NAME/published/', 'what readers got: a ZIP for each version'],
    ['makers.csv, contacts.csv, people.csv', 'who is who'],
    ['plan.ics, bookings.csv, absences.csv, work.json, house.json', 'the plan'],
    ['history.csv', 'who did what, with the hashes of its chain'],
    ['feedback.csv', 'what readers answered'],
  ]);
  yield asJson('team.json', installation);
  const loans = await prisma.loan.findMany({
    select: { id: true },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
  });
  for (const { id } of loans) yield* loanFolder(prisma, id);
  yield* whatBelongsToAll(prisma);
  yield* history(prisma);
}

async function* loanFolder(tx: Tx, id: string): AsyncGenerator<ExportEntry> {
  const loan = await tx.loan.findUnique({
    where: { id },
    include: { maker: true, units: { include: { plan: true }, orderBy: { createdAt: 'asc' } } },
  });
  // Deleted since the list was read.
  if (!loan) return;
  const folder = `loans/${pathPart(loan.title, loan.id)}`;
  yield asJson(`${folder}/loan.json`, loan);
  yield* crate(tx, id, folder);
  for (const unit of loan.units)
    yield* unitFolder(tx, unit.id, `${folder}/units/${pathPart(unit.name, unit.id)}`);
  yield* writing(tx, id, folder);
}

async function* crate(tx: Tx, loanId: string, folder: string): AsyncGenerator<ExportEntry> {
  const where = { loanId };
  const accessories = await tx.accessory.findMany({ where, orderBy: { position: 'asc' } });
  const counts = [
    'expectedCount',
    'arrivedCount',
    'arrivalNote',
    'returnedCount',
    'returnNote',
    'lossToldAt',
  ];
  yield asCsv(`${folder}/accessories.csv`, ['name', ...counts], accessories);
  const reports = await tx.conditionReport.findMany({ where, include: { photographs: true } });
  yield asJson(`${folder}/reports.json`, reports);
  for (const { id, name, sha256 } of reports.flatMap(({ photographs }) => photographs))
    yield { path: `${folder}/photographs/${pathPart(id)} ${pathPart(name)}`, sha256 };
  for (const { id, name, sha256 } of await tx.deliveryProof.findMany({ where }))
    yield { path: `${folder}/proofs/${pathPart(id)} ${pathPart(name)}`, sha256 };
}

async function* unitFolder(tx: Tx, unitId: string, folder: string): AsyncGenerator<ExportEntry> {
  const sets = await tx.measurementSet.findMany({
    where: { unitId },
    include: { files: true, analyses: true },
  });
  for (const set of sets) {
    const name = pathPart(set.name, set.id);
    yield asJson(`${folder}/sets/${name}.json`, set);
    for (const file of set.files)
      yield { path: `${folder}/sets/${name}/${nestedPath(file.name)}`, sha256: file.sha256 };
    for (const { id, computationId, createdAt } of set.analyses) {
      const computation = await tx.computation.findUnique({
        where: { id: computationId },
        select: {
          algorithmVersion: true,
          settings: true,
          inputs: true,
          state: true,
          summary: true,
          result: true,
          packedResult: true,
        },
      });
      const { packedResult, ...said } = computation ?? { result: null, packedResult: null };
      const result = await storedResult({ result: said.result, packedResult });
      yield asJson(`${folder}/analyses/${name} ${pathPart(id, id)}.json`, {
        set: set.name,
        createdAt,
        ...said,
        result,
      });
    }
  }
  const heard = await tx.listeningSession.findMany({
    where: { unitId },
    include: { listener: { select: { name: true } }, additions: true },
  });
  for (const session of heard)
    yield asJson(`${folder}/listening/${pathPart(session.listener.name, session.id)}.json`, session);
  yield asJson(`${folder}/evidence.json`, await tx.evidencePair.findMany({ where: { unitId } }));
}

async function* writing(tx: Tx, loanId: string, folder: string): AsyncGenerator<ExportEntry> {
  const where = { loanId };
  const { markdown, pros, cons, suggestions } = await readReviewText(tx, loanId);
  const list = (title: string, points: readonly { text: string; evidence: string }[]) =>
    points.length === 0
      ? ''
      : `\n## ${title}\n\n${points.map(({ text, evidence }) => `- ${text} ${evidence}`.trim()).join('\n')}\n`;
  yield {
    path: `${folder}/draft.md`,
    text: `${markdown}\n${list('For', pros)}${list('Against', cons)}${list('Suggestions', suggestions)}`,
  };
  const comments = await tx.draftComment.findMany({ where, include: { author: { select: { name: true } } } });
  yield asCsv(
    `${folder}/comments.csv`,
    ['createdAt', 'author', 'quote', 'body', 'replacement', 'state', 'decidedByName'],
    comments.map((comment) => ({ ...comment, author: comment.author.name })),
  );
  const signOffs = await tx.signOff.findMany({ where, include: { account: { select: { name: true } } } });
  yield asCsv(
    `${folder}/sign-offs.csv`,
    ['createdAt', 'name', 'decision', 'note', 'verdictVersion', 'draftVersion'],
    signOffs.map((signOff) => ({ ...signOff, name: signOff.account.name })),
  );
  const published = await tx.publication.findMany({ where: { loanId, number: { not: null } } });
  for (const { number, bundle } of published)
    if (bundle !== null) yield { path: `${folder}/published/version-${number ?? 0}.zip`, sha256: bundle };
}

async function* whatBelongsToAll(tx: Tx): AsyncGenerator<ExportEntry> {
  yield asCsv('makers.csv', ['id', 'name', 'website', 'notes'], await tx.maker.findMany());
  const contacts = await tx.contact.findMany({ include: { maker: { select: { name: true } } } });
  yield asCsv(
    'contacts.csv',
    ['maker', 'name', 'duty', 'email', 'phone'],
    contacts.map((one) => ({ ...one, maker: one.maker.name })),
  );
  const people = await tx.account.findMany({ where: { removedAt: null }, include: { workingHours: true } });
  yield asCsv('people.csv', ['name', 'email', 'role', 'timeZone', 'createdAt', 'disabledAt'], people);
  yield asCsv(
    'feedback.csv',
    ['createdAt', 'loanId', 'clarity', 'length', 'missing', 'words', 'shownAt'],
    await tx.readerFeedback.findMany(),
  );
  yield asJson('work.json', await tx.workTemplate.findMany());
  yield asJson('house.json', {
    plan: await tx.planHouse.findUnique({ where: { id: 1 } }),
    places: await tx.place.findMany(),
    people: people.map(({ name, workingHours }) => ({ name, workingHours })),
  });
  const absences = await tx.absence.findMany({
    include: { account: true, place: true },
    orderBy: { start: 'asc' },
  });
  yield asCsv(
    'absences.csv',
    ['who', 'start', 'finish', 'why'],
    absences.map((one) => ({ ...one, who: one.account?.name ?? one.place?.name })),
  );
  const bookings = await tx.booking.findMany({
    include: { loan: { select: { title: true } }, takes: true },
    orderBy: { start: 'asc' },
  });
  yield asCsv(
    'bookings.csv',
    ['loan', 'label', 'start', 'finish', 'takes', 'pinned', 'outcome', 'cancelledAt'],
    bookings.map((one) => ({
      ...one,
      loan: one.loan.title,
      takes: one.takes.map(({ resource }) => resource).join(' '),
    })),
  );
  const seen = bookings.map((booking) => ({ ...booking, sequence: booking.version, booking }));
  yield calendarOf('the plan', seen as never);
}

async function* history(tx: Tx): AsyncGenerator<ExportEntry> {
  const columns = [
    'number',
    'at',
    'actorName',
    'sentence',
    'reason',
    'loanId',
    'subject',
    'subjectId',
    'hash',
  ];
  const rows: Record<string, unknown>[] = [];
  for (let after: string | undefined; ;) {
    const page: { id: string }[] = await tx.historyEntry.findMany({
      orderBy: { id: 'asc' },
      take: PAGE,
      ...(after === undefined ? {} : { cursor: { id: after }, skip: 1 }),
    });
    rows.push(...page);
    after = page.at(-1)?.id;
    if (page.length < PAGE) break;
  }
  yield asCsv('history.csv', columns, rows);
}
