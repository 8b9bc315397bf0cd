/** Single messages on a real database: one sender at a time, dead senders, pauses, quiet hours, refused addresses. */
import type { lookup } from 'node:dns';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  addDeliveries,
  beginTry,
  clearTries,
  deliver,
  dueDeliveries,
  isReachable,
  noMessages,
  notBefore,
  openMailer,
  PAUSES_MS,
  insistOnReachable,
  sealWebhookSecrets,
  sendWebhook,
  signatureOf,
  webhookSecretOf,
  type Mailer,
  type MessageSettings,
} from '../../libs/notices/index.js';
import { change, openSecretBox, theHouse } from '../../libs/store/index.js';
import { addLoan, openPlanWorld, type PlanWorld } from './planWorld.js';
import { readmeExample } from './readmeExample.js';
import { openMailSink, openReceiver, type MailSink } from './sinks.js';

const trusting: MessageSettings = { trustedNetworks: ['127.0.0.0/8'] };
const Minute = 60_000;

describe('messages', () => {
  let world: PlanWorld;
  let mail: MailSink;
  let mailer: Mailer;
  let loanId: string;
  const now = new Date('2026-03-24T10:00:00Z');

  beforeAll(async () => {
    [world, mail] = await Promise.all([openPlanWorld(), openMailSink()]);
    mailer = openMailer(mail.url);
  });
  afterAll(async () => {
    mailer.close();
    await world.close();
    await mail.close();
  });
  beforeEach(async () => {
    await world.moveIn('Europe/Berlin', [{ name: 'Ida', timeZone: 'Europe/Berlin' }]);
    loanId = await addLoan(world, { title: 'Heron 3', arrivalTo: '2026-03-25', returnBy: '2026-04-20' });
  });

  const ask = async (about = 'a', emailWorks = true): Promise<string[]> => {
    const { prisma } = world.database;
    await change(world.database, theHouse, (made) =>
      addDeliveries(
        made,
        { kind: 'late', loanId, about, sentence: 'It will go back late.' },
        emailWorks,
        now,
      ),
    );
    return (await prisma.delivery.findMany({ orderBy: { channel: 'asc' } })).map(({ id }) => id);
  };
  const row = (id: string) => world.database.prisma.delivery.findUniqueOrThrow({ where: { id } });
  const choose = async (data: object) => {
    const { id } = await world.database.prisma.account.findFirstOrThrow();
    await world.database.prisma.notificationChoice.create({ data: { accountId: id, ...data } });
  };
  const secrets = openSecretBox('a key that is only for these very tests');
  const sealedFor = async (secret: string) => {
    const { id } = await world.database.prisma.account.findFirstOrThrow();
    return secrets.seal(secret, webhookSecretOf(id));
  };
  const viaWebhook = async (webhookUrl: string) =>
    choose({ channels: { late: ['webhook'] }, webhookUrl, webhookSecret: await sealedFor('s') });

  it('is sent once, however often its job runs and however often it is asked for', async () => {
    const before = mail.mails.length;
    const [id = ''] = await ask();
    expect(await ask()).toEqual([id]);
    const ways = { mailer, settings: noMessages, secrets };
    await Promise.all([1, 2, 3].map(() => deliver(world.database, ways, id, now)));
    await deliver(world.database, ways, id, now);
    expect(mail.mails).toHaveLength(before + 1);
    expect(mail.mails.at(-1)?.headers).toContain(`Message-ID: <${id}@`);
    expect(await row(id)).toMatchObject({ state: 'sent', attempts: 1 });
  });

  it('is taken up again when its sender died in the middle', async () => {
    const [id = ''] = await ask();
    const { prisma } = world.database;
    await prisma.delivery.update({
      where: { id },
      data: { state: 'sending', claimedUntil: new Date(now.getTime() + Minute), attempts: 1 },
    });
    await deliver(world.database, { mailer, settings: noMessages, secrets }, id, now);
    expect((await row(id)).state).toBe('sending');
    const later = new Date(now.getTime() + 2 * Minute);
    expect(await dueDeliveries(world.database, later)).toEqual([
      { job: 'deliver', jobId: `deliver-${id}-1`, payload: { deliveryId: id } },
    ]);
    await deliver(world.database, { mailer, settings: noMessages, secrets }, id, later);
    expect((await row(id)).state).toBe('sent');
  });

  it('waits longer after each failure, and gives up at last', async () => {
    const receiver = await openReceiver(() => 500);
    await viaWebhook(receiver.url);
    const [id = ''] = await ask('b', false);
    let at = now;
    for (const pause of PAUSES_MS) {
      await deliver(world.database, { mailer: undefined, settings: trusting, secrets }, id, at);
      const { state, nextAttemptAt } = await row(id);
      expect([state, nextAttemptAt.getTime()]).toEqual(['waiting', at.getTime() + pause]);
      // Not a moment earlier.
      await deliver(
        world.database,
        { mailer: undefined, settings: trusting, secrets },
        id,
        new Date(nextAttemptAt.getTime() - 1),
      );
      at = nextAttemptAt;
    }
    await deliver(world.database, { mailer: undefined, settings: trusting, secrets }, id, at);
    expect(await row(id)).toMatchObject({ state: 'failed', reason: 'It answered (500).' });
    expect(receiver.hits).toHaveLength(PAUSES_MS.length + 1);
    await receiver.close();
  });

  it('goes to no private address: not by its number, not by its name, not by a redirect', async () => {
    const inner = await openReceiver();
    await viaWebhook(inner.url);
    const [id = ''] = await ask('c', false);
    await deliver(world.database, { mailer: undefined, settings: noMessages, secrets }, id, now);
    expect(await row(id)).toMatchObject({ state: 'failed', attempts: 1 });
    expect((await row(id)).reason).toContain('public addresses only');

    const message = { deliveryId: 'd', secret: 's', body: '{}', at: now };
    const { port } = new URL(inner.url);
    // A name that a stranger’s name server answers with this machine’s own address, beside a public one.
    const rebinding = ((_host: string, _options: object, done: (error: null, all: object[]) => void) =>
      done(null, [
        { address: '93.184.215.14', family: 4 },
        { address: '127.0.0.1', family: 4 },
      ])) as unknown as typeof lookup;
    await expect(
      sendWebhook({ ...message, url: `http://hooks.example:${port}/` }, [], rebinding),
    ).rejects.toThrow('127.0.0.1');
    await expect(sendWebhook({ ...message, url: `http://localhost:${port}/` }, [])).rejects.toThrow(
      'public addresses only',
    );
    await expect(sendWebhook({ ...message, url: 'file:///etc/passwd' }, [])).rejects.toThrow('http');
    expect(inner.hits).toEqual([]);

    const outer = await openReceiver(() => inner.url);
    await expect(sendWebhook({ ...message, url: outer.url }, trusting.trustedNetworks)).rejects.toThrow(
      'redirect',
    );
    expect([outer.hits.length, inner.hits.length]).toEqual([1, 0]);
    await Promise.all([inner.close(), outer.close()]);
  });

  it('reads an address as the network will: decimal, octal and hexadecimal numbers, other letters, IPv4 in IPv6', () => {
    const inner = [
      'http://2130706433/',
      'http://0177.0.0.1/',
      'http://0x7f.1/',
      'http://127.1/',
      'http://①②⑦.0.0.1/',
      'http://[::ffff:7f00:1]/',
      'http://[::ffff:0:a00:1]/',
      'http://[::a00:1]/',
      'http://[64:ff9b:1::a00:1]/',
      'http://[fec0::1]/',
      'http://0/',
      'http://localhost./',
      'http://a.localhost/',
    ];
    const reachedAll = inner.filter((address) => {
      try {
        insistOnReachable(new URL(address), []);
        return true;
      } catch {
        return false;
      }
    });
    expect(reachedAll).toEqual([]);
    expect(() => insistOnReachable(new URL('https://hooks.example.org/in'), [])).not.toThrow();
  });

  it('keeps a line of every try: when, how long, what came of it, and nothing of what was sent', async () => {
    const answers = [500, 204];
    const receiver = await openReceiver(() => answers.shift() ?? 204);
    await viaWebhook(receiver.url);
    const [id = ''] = await ask('log', false);
    const ways = { mailer: undefined, settings: trusting, secrets };
    await deliver(world.database, ways, id, now);
    const later = new Date(now.getTime() + PAUSES_MS[0]);
    await deliver(world.database, ways, id, later);
    const tries = await world.database.prisma.deliveryTry.findMany({ orderBy: { number: 'asc' } });
    expect(tries).toMatchObject([
      { deliveryId: id, number: 1, at: now, status: 500, reason: 'It answered (500).' },
      { deliveryId: id, number: 2, at: later, status: 204, reason: null },
    ]);
    const [body, signature] = [
      receiver.hits[0]?.body ?? '',
      String(receiver.hits[0]?.headers['sojourn-signature']),
    ];
    const kept = JSON.stringify(tries);
    for (const secret of [body, signature, 'Heron']) expect(kept).not.toContain(secret);
    // A sender that died: its line says so.
    await beginTry(world.database, { deliveryId: id, number: 3 }, later);
    await beginTry(world.database, { deliveryId: id, number: 3 }, later);
    expect(await world.database.prisma.deliveryTry.findFirst({ where: { number: 3 } })).toMatchObject({
      reason: 'Its sending was cut off.',
    });
    await clearTries(world.database, later);
    expect(
      (await world.database.prisma.deliveryTry.findMany()).map(({ number }) => number).sort((a, b) => a - b),
    ).toEqual([2, 3]);
    await receiver.close();
  });

  it('keeps the key of a webhook sealed, and says when it was sealed in another house', async () => {
    const receiver = await openReceiver();
    await choose({
      channels: { late: ['webhook'] },
      webhookUrl: receiver.url,
      webhookSecret: 'as an earlier version kept it',
    });
    const stored = async () =>
      (await world.database.prisma.notificationChoice.findFirstOrThrow()).webhookSecret ?? '';
    expect(await sealWebhookSecrets(world.database, secrets)).toBe(0);
    const sealed = await stored();
    expect(sealed).not.toContain('earlier version');
    expect(await sealWebhookSecrets(world.database, secrets)).toBe(0);
    expect(await stored()).toBe(sealed);
    const [id = ''] = await ask('sealed', false);
    await deliver(world.database, { mailer: undefined, settings: trusting, secrets }, id, now);
    const [hit] = receiver.hits;
    const timestamp = String(hit?.headers['sojourn-timestamp']);
    expect(hit?.headers['sojourn-signature']).toBe(
      signatureOf('as an earlier version kept it', timestamp, hit?.body ?? ''),
    );
    const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-example-'));
    const example = path.join(folder, 'genuine.mjs');
    await writeFile(example, await readmeExample('js', 'isGenuine'));
    const { isGenuine } = (await import(/* @vite-ignore */ pathToFileURL(example).href)) as {
      isGenuine: (headers: object, body: string, key: string, now: number) => boolean;
    };
    const at = now.getTime() / 1000;
    const key = 'as an earlier version kept it';
    const { headers, body } = hit ?? { headers: {}, body: '' };
    expect(isGenuine(headers, body, key, at + 60)).toBe(true);
    // Sent again by somebody later, changed on the way, signed with another key, without a signature.
    expect(isGenuine(headers, body, key, at + 301)).toBe(false);
    expect(isGenuine(headers, `${body} `, key, at)).toBe(false);
    expect(isGenuine(headers, body, `${key}.`, at)).toBe(false);
    expect(isGenuine({ 'sojourn-timestamp': timestamp }, body, key, at)).toBe(false);
    await rm(folder, { recursive: true, force: true });
    const elsewhere = openSecretBox('the key of another house altogether');
    expect(await sealWebhookSecrets(world.database, elsewhere)).toBe(1);
    const [other = ''] = (await ask('elsewhere', false)).filter((one) => one !== id);
    await deliver(world.database, { mailer: undefined, settings: trusting, secrets: elsewhere }, other, now);
    expect(await row(other)).toMatchObject({
      state: 'failed',
      reason: expect.stringContaining('make another one'),
    });
    expect(receiver.hits).toHaveLength(1);
    await receiver.close();
  });

  it('knows private addresses in every dress (IANA special-purpose registries)', () => {
    const refused = [
      '127.0.0.1',
      '10.1.2.3',
      '172.16.0.1',
      '192.168.0.1',
      '169.254.169.254',
      '100.64.0.1',
      '0.0.0.0',
    ];
    refused.push(
      '255.255.255.255',
      '224.0.0.1',
      '::1',
      '::',
      'fe80::1',
      'fc00::1',
      '::ffff:10.0.0.1',
      '64:ff9b::a00:1',
    );
    refused.push('2002:a00:1::', 'ff02::1', '[::1]', 'localhost', '');
    expect(refused.filter((address) => isReachable(address))).toEqual([]);
    const reached = ['93.184.215.14', '2606:2800:21f:cb07:6820:80da:af6b:8b2c'];
    expect(reached.filter((address) => !isReachable(address))).toEqual([]);
    expect(isReachable('10.1.2.3', ['10.1.0.0/16'])).toBe(true);
    expect(isReachable('10.2.2.3', ['10.1.0.0/16', '::1/128'])).toBe(false);
  });

  it('keeps quiet at night on the person’s own clock, also when the clock changes', async () => {
    const night = { channels: {}, webhookUrl: null, quietFrom: '22:00', quietTo: '07:30' };
    const wake = (at: string, zone = 'Europe/Berlin') => notBefore(night, zone, new Date(at)).toISOString();
    expect(wake('2026-03-24T10:00:00Z')).toBe('2026-03-24T10:00:00.000Z');
    expect(wake('2026-03-24T23:00:00Z')).toBe('2026-03-25T06:30:00.000Z');
    // The night of 29 March is an hour shorter in Berlin.
    expect(wake('2026-03-28T22:30:00Z')).toBe('2026-03-29T05:30:00.000Z');
    expect(wake('2026-03-29T03:00:00Z')).toBe('2026-03-29T05:30:00.000Z');
    expect(wake('2026-03-24T10:00:00Z', 'Asia/Tokyo')).toBe('2026-03-24T10:00:00.000Z');
    expect(wake('2026-03-24T14:00:00Z', 'Asia/Tokyo')).toBe('2026-03-24T22:30:00.000Z');

    await choose({ quietFrom: '10:00', quietTo: '12:00' });
    const [id = ''] = await ask('e');
    expect((await row(id)).nextAttemptAt.toISOString()).toBe('2026-03-24T11:00:00.000Z');
    expect(await world.database.prisma.outboxRequest.count({ where: { jobId: { contains: id } } })).toBe(0);
    expect(await dueDeliveries(world.database, now)).toEqual([]);
    expect(await dueDeliveries(world.database, new Date('2026-03-24T11:00:00Z'))).toHaveLength(1);
  });

  it('is dropped when the person no longer wants it, or may no longer see it', async () => {
    const before = mail.mails.length;
    const [one = ''] = await ask('f');
    await choose({ channels: { late: [] } });
    await deliver(world.database, { mailer, settings: noMessages, secrets }, one, now);
    expect(await row(one)).toMatchObject({
      state: 'dropped',
      reason: 'The person no longer wants it this way.',
    });
    const { prisma } = world.database;
    await prisma.notificationChoice.deleteMany();
    const [, two = ''] = (await ask('g')).sort((a) => (a === one ? -1 : 1));
    await prisma.account.updateMany({ data: { role: 'viewer' } });
    await deliver(world.database, { mailer, settings: noMessages, secrets }, two, now);
    expect((await row(two)).state).toBe('dropped');
    expect(mail.mails).toHaveLength(before);
  });
});
