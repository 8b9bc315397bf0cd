/** Single messages on a real database: one sender at a time, dead senders, pauses, quiet hours, refused addresses. */
import type { lookup } from 'node:dns';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  addDeliveries,
  deliver,
  dueDeliveries,
  isReachable,
  noMessages,
  notBefore,
  openMailer,
  PAUSES_MS,
  sendWebhook,
  type Mailer,
  type MessageSettings,
} from '../../libs/notices/index.js';
import { change, theHouse } from '../../libs/store/index.js';
import { addLoan, openPlanWorld, type PlanWorld } from './planWorld.js';
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
  const viaWebhook = (webhookUrl: string) =>
    choose({ channels: { late: ['webhook'] }, webhookUrl, webhookSecret: 's' });

  it('is sent once, however often its job runs and however often it is asked for', async () => {
    const before = mail.mails.length;
    const [id = ''] = await ask();
    expect(await ask()).toEqual([id]);
    const ways = { mailer, settings: noMessages };
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
    await deliver(world.database, { mailer, settings: noMessages }, id, now);
    expect((await row(id)).state).toBe('sending');
    const later = new Date(now.getTime() + 2 * Minute);
    expect(await dueDeliveries(world.database, later)).toEqual([
      { job: 'deliver', jobId: `deliver-${id}-1`, payload: { deliveryId: id } },
    ]);
    await deliver(world.database, { mailer, settings: noMessages }, id, later);
    expect((await row(id)).state).toBe('sent');
  });

  it('waits longer after each failure, and gives up at last', async () => {
    const receiver = await openReceiver(() => 500);
    await viaWebhook(receiver.url);
    const [id = ''] = await ask('b', false);
    let at = now;
    for (const pause of PAUSES_MS) {
      await deliver(world.database, { mailer: undefined, settings: trusting }, id, at);
      const { state, nextAttemptAt } = await row(id);
      expect([state, nextAttemptAt.getTime()]).toEqual(['waiting', at.getTime() + pause]);
      // Not a moment earlier.
      await deliver(
        world.database,
        { mailer: undefined, settings: trusting },
        id,
        new Date(nextAttemptAt.getTime() - 1),
      );
      at = nextAttemptAt;
    }
    await deliver(world.database, { mailer: undefined, settings: trusting }, id, at);
    expect(await row(id)).toMatchObject({ state: 'failed', reason: 'It answered (500).' });
    expect(receiver.hits).toHaveLength(PAUSES_MS.length + 1);
    await receiver.close();
  });

  it('goes to no private address: not by its number, not by its name, not by a redirect', async () => {
    const inner = await openReceiver();
    await viaWebhook(inner.url);
    const [id = ''] = await ask('c', false);
    await deliver(world.database, { mailer: undefined, settings: noMessages }, id, now);
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
    await deliver(world.database, { mailer, settings: noMessages }, one, now);
    expect(await row(one)).toMatchObject({
      state: 'dropped',
      reason: 'The person no longer wants it this way.',
    });
    const { prisma } = world.database;
    await prisma.notificationChoice.deleteMany();
    const [, two = ''] = (await ask('g')).sort((a) => (a === one ? -1 : 1));
    await prisma.account.updateMany({ data: { role: 'viewer' } });
    await deliver(world.database, { mailer, settings: noMessages }, two, now);
    expect((await row(two)).state).toBe('dropped');
    expect(mail.mails).toHaveLength(before);
  });
});
