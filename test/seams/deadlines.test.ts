/** Deadlines told as each person chose, once each, across restarts and two servers, on both back ends. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { DeliveryView, FeedEvent } from '../../libs/contracts/index.js';
import { signatureOf } from '../../libs/notices/webhook.js';
import { backEnds, makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { dayFromNow } from './planScene.js';
import { startSecond } from './secondServer.js';
import { openMailSink, openReceiver, type Hit, type MailSink, type Receiver } from './sinks.js';
import { join, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

const settle = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

describe.each(backEnds)('deadlines on %s', (backEnd) => {
  let installation: Installation;
  let first: RunningInstallation;
  let second: RunningInstallation;
  let host: Visitor;
  let colleague: Visitor;
  let mail: MailSink;
  let hook: Receiver;
  let secret = '';
  let failures = 2;

  beforeAll(async () => {
    mail = await openMailSink();
    // Twice out of order, then well: what was not taken comes again.
    hook = await openReceiver(() => (failures-- > 0 ? 503 : 204));
    const env = {
      SOJOURN_SMTP_URL: mail.url,
      SOJOURN_MAIL_FROM: 'Sojourn <sojourn@example.org>',
      SOJOURN_PUBLIC_URL: 'https://sojourn.example.org',
      SOJOURN_WEBHOOK_TRUSTED: '127.0.0.0/8',
    };
    installation = await makeInstallation(backEnd);
    Object.assign(installation.env, env);
    first = await installation.start();
    host = await setUpOwner(first.url);
    colleague = await join(host, 'cohost', 'Bo Lind');
    second = await startSecond(installation);
  });
  afterAll(async () => {
    await installation.remove();
    await mail.close();
    await hook.close();
  });

  const maker = async () => (await host.client.addMaker({ name: 'Wren & Sedge (invented)' })).id;
  const kindsOf = (events: readonly FeedEvent[], loanId: string): string[] =>
    events.flatMap((event) =>
      event.type === 'deadline' && event.payload.loanId === loanId ? [event.payload.kind] : [],
    );
  const subjects = (address: string): string[] =>
    mail.mails
      .filter(({ to }) => to.includes(address))
      .map(({ headers }) => /^Subject: (.*)$/m.exec(headers)?.[1]?.trim() ?? '');
  const hooked = () =>
    hook.hits.map((hit) => JSON.parse(hit.body) as { id: string; kind: string; loan: { title: string } });

  it('tells each kind once, by mail and by signed webhook, as each person chose', async () => {
    const view = await colleague.client.notifications();
    expect(view).toMatchObject({ emailWorks: true, version: 0, channels: { late: ['email'] } });
    const chosen = await colleague.client.changeNotifications({
      version: 0,
      channels: { 'due-in-7-days': ['webhook'], 'due-in-2-days': [], overdue: ['email', 'webhook'] },
      webhookUrl: `${hook.url}/sojourn`,
    });
    secret = chosen.webhookSecret ?? '';
    expect(secret).not.toBe('');
    expect((await colleague.client.notifications()).webhookSecret).toBeUndefined();

    const makerId = await maker();
    const add = (title: string, days: number) =>
      host.client.addLoan({ makerId, title, returnBy: dayFromNow(days) });
    const week = await add('Heron 3', 6);
    const days = await add('Reed 5', 2);
    const over = await add('Sedge 1\r\nBcc: stranger@example.org', -1);
    const expected = ['Heron 3: due back within 7 days', 'Reed 5: due back within 2 days'];
    await waitFor(
      () => (expected.every((one) => subjects('ida@example.org').includes(one)) ? true : undefined),
      'mail',
    );
    await waitFor(async () => {
      const { recent } = await colleague.client.notifications();
      return recent.filter(({ state }) => state === 'sent').length === 3 ? recent : undefined;
    }, 'the colleague’s messages');

    const { events } = await host.client.events('team', 0);
    expect(kindsOf(events, week.id)).toEqual(['due-in-7-days']);
    expect(kindsOf(events, days.id)).toEqual(['due-in-2-days']);
    expect(kindsOf(events, over.id)).toEqual(['overdue']);
    // Nobody is written to besides those it is meant for, whatever a title says.
    expect(
      mail.mails
        .flatMap(({ to }) => to)
        .every((to) => to.endsWith('@example.org') && !to.startsWith('stranger')),
    ).toBe(true);
    expect(mail.mails.every(({ headers }) => !/^bcc:/im.test(headers))).toBe(true);
    expect(subjects('bo.lind@example.org').filter((one) => one.includes('Reed 5'))).toEqual([]);
    expect(mail.mails.some(({ body }) => body.includes(`https://sojourn.example.org/loans/${week.id}`))).toBe(
      true,
    );
  });

  it('signs what it sends, and tries again with the same id what was not taken', async () => {
    const { recent } = await colleague.client.notifications();
    const tried = recent.filter(({ channel }) => channel === 'webhook');
    expect(tried.map(({ state }) => state)).toEqual(['sent', 'sent']);
    expect(hook.hits).toHaveLength(2 + 2);
    expect(tried.reduce((sum, { attempts }: DeliveryView) => sum + attempts, 0)).toBe(4);
    expect(new Set(hooked().map(({ id }) => id)).size).toBe(2);
    for (const { headers, body } of hook.hits as Hit[]) {
      const stamp = String(headers['sojourn-timestamp']);
      expect(headers['sojourn-signature']).toBe(signatureOf(secret, stamp, body));
      expect(headers['sojourn-delivery']).toBe((JSON.parse(body) as { id: string }).id);
    }
  });

  it('says nothing twice after a restart, with two servers looking', async () => {
    const told = (await host.client.events('team', 0)).events.filter(
      ({ type }) => type === 'deadline',
    ).length;
    const sent = mail.mails.length + hook.hits.length;
    await first.kill();
    first = await installation.start();
    host = visit(first.url, host.cookie());
    colleague = visit(second.url, colleague.cookie());
    // Both look again as soon as something happens.
    const makerId = await maker();
    const quiet = await host.client.addLoan({ makerId, title: 'Whin 4', returnBy: dayFromNow(90) });
    await settle(2000);
    const { events } = await host.client.events('team', 0);
    expect(events.filter(({ type }) => type === 'deadline')).toHaveLength(told);
    expect(mail.mails.length + hook.hits.length).toBe(sent);
    // Another date is another deadline, and it is said the moment it is true.
    const began = Date.now();
    await host.client.changeLoan(quiet.id, { version: quiet.version, returnBy: dayFromNow(0) });
    await waitFor(async () => {
      const kinds = kindsOf((await host.client.events('team', 0)).events, quiet.id);
      return kinds.includes('due-today') ? kinds : undefined;
    }, 'the new deadline');
    expect(Date.now() - began).toBeLessThan(8000);
  });

  it('names nothing under embargo to a webhook, and tells nobody who may no longer see it', async () => {
    const makerId = await maker();
    const hiddenTitle = 'Secret 9';
    await host.client.addLoan({
      makerId,
      title: hiddenTitle,
      returnBy: dayFromNow(5),
      embargoUntil: new Date(Date.now() + 9e8).toISOString(),
    });
    const hit = await waitFor(
      () => hooked().find(({ loan }) => loan.title === 'A loan under embargo'),
      'the webhook',
    );
    expect(hit.kind).toBe('due-in-7-days');
    await waitFor(
      () => subjects('ida@example.org').find((one) => one.includes(hiddenTitle)),
      'mail to a member',
    );
    expect(hook.hits.every(({ body }) => !body.includes(hiddenTitle))).toBe(true);

    const bo = (await host.client.people()).find(({ name }) => name === 'Bo Lind');
    await host.client.changePerson(bo?.id ?? '', { version: bo?.version ?? 0, role: 'viewer' });
    const before = hook.hits.length;
    const theirs = subjects('bo.lind@example.org').length;
    await host.client.addLoan({ makerId, title: 'Fen 2', returnBy: dayFromNow(6) });
    await waitFor(
      () => subjects('ida@example.org').find((one) => one.includes('Fen 2')),
      'mail to the owner',
    );
    await settle(500);
    expect(hook.hits).toHaveLength(before);
    expect(subjects('bo.lind@example.org')).toHaveLength(theirs);
  });

  it('refuses addresses in private networks, and tries the way one has chosen', async () => {
    const { version } = await host.client.notifications();
    for (const webhookUrl of [
      'http://10.0.0.5/x',
      'http://[::ffff:169.254.169.254]/',
      'http://192.168.1.9:8080/',
      'http://0x0a000001/',
    ]) {
      const refused = await refusalOf(host.client.changeNotifications({ version, webhookUrl }));
      expect(refused).toMatchObject({ status: 422, refusal: { code: 'address-refused' } });
    }
    await host.client.changeNotifications({ version, webhookUrl: `${hook.url}/mine` });
    await host.client.testNotifications();
    const recent = await waitFor(async () => {
      const tests = (await host.client.notifications()).recent.filter(({ kind }) => kind === 'test');
      return tests.every(({ state }) => state === 'sent') ? tests : undefined;
    }, 'the test messages');
    expect(recent.map(({ channel }) => channel).sort()).toEqual(['email', 'webhook']);
  });
});
