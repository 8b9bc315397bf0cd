/** Everything of one person: their account, what they did, wrote and brought. What is sealed from them stays so. */
import { writeCalendar } from '../calendars/index.js';
import { roleWords } from '../contracts/index.js';
import { sealedFrom, type Database, type Sealed, type Tx } from '../store/index.js';
import { asCsv } from './csvTable.js';
import { asJson, nestedPath, pathPart, type ExportEntry } from './exportEntry.js';
import { readMe } from './readMe.js';

export async function* ownExport({ prisma }: Database, accountId: string): AsyncGenerator<ExportEntry> {
  const sealed = await sealedFrom(prisma, accountId);
  const account = await prisma.account.findUniqueOrThrow({ where: { id: accountId } });
  const { name, email, role, timeZone, createdAt, invented } = account;
  yield readMe(`Everything of ${name}`, [
    ['account.json', 'name, address, role, time zone; the password is kept only as a hash and is not here'],
    ['sign-ins.csv, tokens.csv', 'browsers that are signed in and tokens, without their secrets'],
    [
      'hours.json, absences.csv, plan.ics',
      'working hours, absences, and what you are booked for (iCalendar)',
    ],
    ['notifications.json, messages.csv', 'how you want to hear of deadlines, and what you were sent'],
    ['history.csv', 'what you did, newest last'],
    ['listening/', 'your listening sessions, one file each, with the seal'],
    ['comments.csv, sign-offs.csv', 'what you said on drafts'],
    ['files/', 'the measurements, photographs and proofs you brought, as they came'],
    ...(sealed.units.size > 0
      ? ([
          [
            'not here',
            'files and history of units you are listening to blind: they follow once you have sealed',
          ],
        ] as const)
      : []),
  ]);
  yield asJson('account.json', { name, email, role: roleWords[role], timeZone, createdAt, invented });
  yield* personal(prisma, accountId);
  yield calendarOf(name, await bookingsOf(prisma, accountId));
  yield* said(prisma, accountId, sealed);
  yield* brought(prisma, accountId, sealed);
}

async function* personal(tx: Tx, accountId: string): AsyncGenerator<ExportEntry> {
  const own = { where: { accountId } };
  const [sessions, tokens, hours, absences, choice, messages] = [
    await tx.session.findMany(own),
    await tx.apiToken.findMany(own),
    await tx.personHours.findUnique(own),
    await tx.absence.findMany({ ...own, orderBy: { start: 'asc' } }),
    await tx.notificationChoice.findUnique(own),
    await tx.delivery.findMany({ ...own, orderBy: { createdAt: 'asc' } }),
  ];
  yield asCsv('sign-ins.csv', ['device', 'createdAt', 'lastSeenAt', 'expiresAt'], sessions);
  yield asCsv('tokens.csv', ['name', 'scopes', 'createdAt', 'expiresAt', 'lastUsedAt', 'revokedAt'], tokens);
  yield asJson('hours.json', hours);
  yield asCsv('absences.csv', ['start', 'finish', 'why'], absences);
  const { channels, quietFrom, quietTo, webhookUrl } = choice ?? {};
  yield asJson('notifications.json', { channels, quietFrom, quietTo, webhookUrl });
  yield asCsv('messages.csv', ['createdAt', 'channel', 'kind', 'sentence', 'state', 'sentAt'], messages);
}

const bookingsOf = (tx: Tx, accountId: string) =>
  tx.bookingPerson.findMany({
    where: { accountId },
    include: { booking: { include: { loan: { select: { title: true } } } } },
    orderBy: { booking: { start: 'asc' } },
  });

/** Of the team’s own house: names under embargo stand in it, as they do on its pages. */
export const calendarOf = (
  name: string,
  rows: Awaited<ReturnType<typeof bookingsOf>>,
  path = 'plan.ics',
): ExportEntry => ({
  path,
  text: writeCalendar(
    `Sojourn: ${name}`,
    rows.map(({ booking, sequence, cancelledAt, updatedAt }) => ({
      uid: `${booking.id}@sojourn`,
      sequence,
      updatedAt,
      start: booking.start,
      finish: booking.finish,
      title: `${booking.label}: ${booking.loan.title}`,
      cancelled: cancelledAt !== null,
    })),
  ),
});

async function* said(tx: Tx, accountId: string, sealed: Sealed): AsyncGenerator<ExportEntry> {
  const history = await tx.historyEntry.findMany({ where: { actorId: accountId }, orderBy: { at: 'asc' } });
  const told = history.filter(({ loanId }) => loanId === null || !sealed.loans.has(loanId));
  yield asCsv('history.csv', ['at', 'sentence', 'reason', 'loanId'], told);
  const sessions = await tx.listeningSession.findMany({
    where: { listenerId: accountId },
    include: { unit: { select: { name: true } }, additions: true },
  });
  for (const { lastDevice: _, lastWrite: _writes, ...session } of sessions)
    yield asJson(`listening/${pathPart(session.unit.name, session.id)}.json`, session);
  const authored = { where: { authorId: accountId }, orderBy: { createdAt: 'asc' } } as const;
  const comments = await tx.draftComment.findMany({
    ...authored,
    include: { loan: { select: { title: true } } },
  });
  yield asCsv(
    'comments.csv',
    ['createdAt', 'loan', 'quote', 'body', 'replacement', 'state'],
    comments.map((comment) => ({ ...comment, loan: comment.loan.title })),
  );
  const signOffs = await tx.signOff.findMany({
    where: { accountId },
    include: { loan: { select: { title: true } } },
    orderBy: { createdAt: 'asc' },
  });
  yield asCsv(
    'sign-offs.csv',
    ['createdAt', 'loan', 'decision', 'note'],
    signOffs.map((signOff) => ({ ...signOff, loan: signOff.loan.title })),
  );
}

async function* brought(tx: Tx, accountId: string, sealed: Sealed): AsyncGenerator<ExportEntry> {
  const files = await tx.setFile.findMany({
    where: { uploadedBy: accountId },
    include: { set: { include: { unit: true } } },
  });
  for (const { name, sha256, set } of files) {
    if (sealed.units.has(set.unitId)) continue;
    const folder = `files/${pathPart(set.unit.name, set.unit.id)}/${pathPart(set.name, set.id)}`;
    yield { path: `${folder}/${nestedPath(name)}`, sha256 };
  }
  const photographs = await tx.photograph.findMany({ where: { takenBy: accountId } });
  for (const { id, name, sha256 } of photographs)
    yield { path: `files/photographs/${pathPart(id)} ${pathPart(name)}`, sha256 };
  const proofs = await tx.deliveryProof.findMany({ where: { addedBy: accountId } });
  for (const { id, name, sha256 } of proofs)
    yield { path: `files/proofs/${pathPart(id)} ${pathPart(name)}`, sha256 };
}
