/** Sends what waits: each message to its person by its way, again with growing pauses when it does not arrive. */
import type { Channel, DeadlineKind } from '../contracts/index.js';
import { deadlineWords } from '../contracts/index.js';
import type { Database, SecretBox } from '../store/index.js';
import { deliveryJobId } from './addDeliveries.js';
import { chosenChannels } from './choices.js';
import { beginTry, endTry } from './deliveryLog.js';
import type { Mailer } from './mail.js';
import type { MessageSettings } from './settings.js';
import { sendWebhook } from './webhook.js';
import { webhookSecretOf } from './webhookSecrets.js';

const Second = 1000;
const Minute = 60 * Second;
const Hour = 60 * Minute;
/** Pauses after the first, second, ... failure; after the last one it is given up. */
export const PAUSES_MS = [
  2 * Second,
  10 * Second,
  Minute,
  5 * Minute,
  30 * Minute,
  2 * Hour,
  6 * Hour,
  12 * Hour,
];
/** Longer than any try takes: a message whose sender was killed is taken up again after this. */
const CLAIM_MS = Minute;
export const UNDER_EMBARGO = 'A loan under embargo';

export interface Ways {
  readonly mailer: Mailer | undefined;
  readonly settings: MessageSettings;
  readonly secrets: SecretBox;
}

type Claimed = NonNullable<Awaited<ReturnType<typeof claim>>>;

export async function deliver(database: Database, ways: Ways, deliveryId: string, now: Date): Promise<void> {
  const delivery = await claim(database, deliveryId, now);
  if (!delivery) return;
  // Counted at each beginning: more of them than failures allow means that its sender was ended in the middle each time.
  if (delivery.attempts > PAUSES_MS.length + 1) {
    return settle(database, deliveryId, {
      state: 'failed',
      reason: 'The program ended each time it was sent.',
    });
  }
  const unwanted = whyNot(delivery);
  if (unwanted !== undefined) return settle(database, deliveryId, { state: 'dropped', reason: unwanted });
  const loan =
    delivery.loanId === null
      ? null
      : await database.prisma.loan.findUnique({ where: { id: delivery.loanId } });
  const tried = { deliveryId, number: delivery.attempts };
  await beginTry(database, tried, now);
  const began = performance.now();
  try {
    const status = await send(delivery, loan, ways, now);
    await endTry(database, tried, { durationMs: performance.now() - began, status, reason: null });
    await settle(database, deliveryId, { state: 'sent', reason: null, sentAt: new Date() });
  } catch (error) {
    const after = afterFailure(delivery.attempts, error as Error, now);
    const status = (error as { status?: number }).status ?? null;
    await endTry(database, tried, { durationMs: performance.now() - began, status, reason: after.reason });
    await settle(database, deliveryId, after);
  }
}

/** One sender at a time: whoever turns the row from waiting to sending has it. */
async function claim(database: Database, id: string, now: Date) {
  const claimed = await database.prisma.delivery.updateMany({
    where: {
      id,
      nextAttemptAt: { lte: now },
      OR: [{ state: 'waiting' }, { state: 'sending', claimedUntil: { lt: now } }],
    },
    data: {
      state: 'sending',
      claimedUntil: new Date(now.getTime() + CLAIM_MS),
      attempts: { increment: 1 },
    },
  });
  if (claimed.count === 0) return undefined;
  return database.prisma.delivery.findUniqueOrThrow({
    where: { id },
    include: { account: { include: { notifications: true } } },
  });
}

/** Things may have changed since it was asked for: what the person may see, and what they want. */
function whyNot({ account, channel, kind }: Claimed): string | undefined {
  if (account.disabledAt !== null || account.role === 'viewer')
    return 'The person may no longer see the team’s loans.';
  if (kind === 'test') return undefined;
  const chosen = chosenChannels(account.notifications)[kind as DeadlineKind];
  return chosen.includes(channel as Channel) ? undefined : 'The person no longer wants it this way.';
}

interface LoanFacts {
  readonly id: string;
  readonly title: string;
  readonly embargoUntil: Date | null;
}

/** @returns the status that a webhook's receiver answered; null for mail */
async function send(
  delivery: Claimed,
  loan: LoanFacts | null,
  { mailer, settings, secrets }: Ways,
  now: Date,
): Promise<number | null> {
  const { account, kind } = delivery;
  const url = settings.publicUrl && loan ? `${settings.publicUrl}/loans/${loan.id}` : null;
  const what = kind === 'test' ? 'A message to try the way' : deadlineWords[kind as DeadlineKind];
  if (delivery.channel === 'email') {
    if (!mailer) throw new Error('No mail server is set up (SOJOURN_SMTP_URL).');
    const link = url === null ? [] : [url];
    await mailer.send({
      deliveryId: delivery.id,
      to: { name: account.name, address: account.email },
      subject: loan ? `${loan.title}: ${what.toLowerCase()}` : what,
      text: [...(loan ? [loan.title] : []), delivery.sentence, ...link, FOOTER].join('\n\n'),
    });
    return null;
  }
  const { webhookUrl, webhookSecret } = account.notifications ?? {};
  if (!webhookUrl || !webhookSecret) throw new Error('No webhook address is set.');
  const secret = secrets.open(webhookSecret, webhookSecretOf(account.id));
  // Who reads what a webhook feeds is not known here: nothing under embargo is named.
  const hidden = loan !== null && loan.embargoUntil !== null && loan.embargoUntil > now;
  const body = JSON.stringify({
    id: delivery.id,
    kind,
    at: delivery.createdAt.toISOString(),
    loan: loan && { id: loan.id, title: hidden ? UNDER_EMBARGO : loan.title },
    sentence: `${what}.`,
    url,
  });
  return sendWebhook(
    { deliveryId: delivery.id, url: webhookUrl, secret, body, at: now },
    settings.trustedNetworks,
  );
}

const FOOTER = 'What you are told, how and when is in your settings.';

const KEY_NEEDED = 'The key of its signature can’t be opened in this house: make another one.';

interface Settled {
  readonly state: 'sent' | 'waiting' | 'failed' | 'dropped';
  readonly reason: string | null;
  readonly sentAt?: Date;
  readonly nextAttemptAt?: Date;
}

function afterFailure(attempts: number, error: Error, now: Date): Settled {
  const { code } = error as { code?: string };
  const locked = code === 'secret-locked';
  const reason = locked ? KEY_NEEDED : error.message.slice(0, 500);
  const pause = PAUSES_MS[attempts - 1];
  const forGood = locked || code === 'address-refused';
  if (pause === undefined || forGood) return { state: 'failed', reason };
  return { state: 'waiting', reason, nextAttemptAt: new Date(now.getTime() + pause) };
}

/** Whatever state it is in, unless it has an end: with the reason, and no further tries by itself. */
export async function giveUpDelivery(database: Database, id: string, reason: string): Promise<void> {
  await database.prisma.delivery.updateMany({
    where: { id, state: { in: ['waiting', 'sending'] } },
    data: { state: 'failed', reason: reason.slice(0, 500), claimedUntil: null },
  });
}

async function settle(database: Database, id: string, data: Settled): Promise<void> {
  await database.prisma.delivery.updateMany({
    where: { id, state: 'sending' },
    data: { ...data, claimedUntil: null },
  });
}

/** What was sent or given up long ago; the notice it came from stays, so it is not said again. */
export async function clearDeliveries(database: Database, madeBefore: Date): Promise<void> {
  await database.prisma.delivery.deleteMany({
    where: { createdAt: { lt: madeBefore }, state: { in: ['sent', 'failed', 'dropped'] } },
  });
}

const BATCH = 200;

/** Messages whose time has come: those that wait for another try or for the morning, those whose sender died. */
export async function dueDeliveries(
  database: Database,
  now: Date,
): Promise<{ job: 'deliver'; jobId: string; payload: { deliveryId: string } }[]> {
  const due = await database.prisma.delivery.findMany({
    where: {
      nextAttemptAt: { lte: now },
      OR: [{ state: 'waiting' }, { state: 'sending', claimedUntil: { lt: now } }],
    },
    orderBy: { nextAttemptAt: 'asc' },
    take: BATCH,
    select: { id: true, attempts: true },
  });
  return due.map(({ id, attempts }) => ({
    job: 'deliver',
    jobId: deliveryJobId(id, attempts),
    payload: { deliveryId: id },
  }));
}
