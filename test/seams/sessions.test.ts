/** Sessions from sign-in to end, on one server and on two; and what every answer says to browsers. */
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { openTables, startSecond } from './secondServer.js';
import { follow, join, refusalOf, setUpOwner, visit, type Visitor } from './visitor.js';

describe('at the door', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let owner: Visitor;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    owner = await setUpOwner(server.url);
    await join(owner, 'editor', 'One editor');
  });
  afterAll(() => installation.remove());

  describe('sessions', () => {
    const signIn = async (url: string, name: string) => {
      const visitor = visit(url);
      const email = `${name.toLowerCase().replaceAll(' ', '.')}@example.org`;
      await visitor.client.signIn({ email, password: 'another long pass phrase' });
      return visitor;
    };
    /** Milliseconds from now until the socket is cut off. */
    const untilCut = async (visitor: Visitor) => {
      const { socket } = await follow(visitor, 'published');
      return () => {
        const began = performance.now();
        if (socket.disconnected) return Promise.resolve(0);
        return new Promise<number>((resolve) => {
          socket.once('disconnect', () => resolve(performance.now() - began));
        });
      };
    };

    it('end everywhere within a second: signed out elsewhere, another role, shut out, signed out by the owner', async () => {
      await join(owner, 'editor', 'On Both');
      const second = await startSecond(installation);
      try {
        const one = await signIn(server.url, 'On Both');
        const ends: [string, () => Promise<unknown>][] = [
          [
            'from the list of sessions',
            async () => {
              const [, other] = await one.client.sessions();
              await one.client.endSession(other?.id ?? '');
            },
          ],
          ['by the owner', async () => owner.client.endSessionsOf((await personOf('On Both')).id)],
          ['with another role', async () => changeOf('On Both', { role: 'viewer' })],
          ['shut out', async () => changeOf('On Both', { disabled: true })],
        ];
        for (const [, end] of ends) {
          const there = await signIn(second.url, 'On Both');
          const cut = await untilCut(there);
          await end();
          expect(await cut()).toBeLessThan(1000);
          expect((await there.fetch('/api/plan')).status).toBe(401);
        }
      } finally {
        await second.stop();
      }
    });

    it('that are refused, what is not allowed and too many tries stand in the log, with whom and from where', async () => {
      const second = await startSecond(installation, { SOJOURN_LOG_LEVEL: 'warn' });
      const stranger = visit(second.url);
      const asSomebody = (password: string) =>
        refusalOf(stranger.client.signIn({ email: 'log.line@example.org', password }));
      try {
        await join(owner, 'viewer', 'Log Line');
        const viewer = await signIn(second.url, 'Log Line');
        expect((await viewer.fetch('/api/people')).status).toBe(403);
        let last = await asSomebody('not the pass phrase');
        expect(last.status).toBe(401);
        for (let tries = 0; last.status === 401 && tries < 50; tries++)
          last = await asSomebody('nor this one');
        expect(last.status).toBe(429);
        const lines = (): unknown[] =>
          second
            .output()
            .split('\n')
            .filter((line) => line.startsWith('{') && line.endsWith('}'))
            .map((line) => JSON.parse(line) as unknown);
        const about = { level: 'warn', address: '127.0.0.1' };
        const { id: personId } = await personOf('Log Line');
        for (const line of [
          { ...about, status: 403, route: '/api/people', personId },
          { ...about, status: 401, method: 'POST', route: '/api/session' },
          { ...about, status: 429, method: 'POST', route: '/api/session' },
        ])
          await expect.poll(lines).toContainEqual(expect.objectContaining(line));
        expect(second.output()).not.toMatch(/log\.line@|pass phrase|nor this one/);
      } finally {
        await second.stop();
      }
    });

    const personOf = async (name: string) => {
      const people = await owner.client.people();
      const person = people.find((each) => each.name === name);
      if (!person) throw new Error(`${name} is not there.`);
      return person;
    };
    const changeOf = async (name: string, part: { role?: 'viewer'; disabled?: boolean }) => {
      const { id, version } = await personOf(name);
      await owner.client.changePerson(id, { version, ...part });
    };

    it('are new after signing in and after a new password, which ends all others', async () => {
      const first = await join(owner, 'editor', 'New Word');
      const other = await signIn(server.url, 'New Word');
      const before = first.cookie();
      await first.client.signIn({ email: 'new.word@example.org', password: 'another long pass phrase' });
      expect(first.cookie()).not.toBe(before);
      expect((await visit(server.url, before).client.session()).person).toBeUndefined();
      const between = first.cookie();
      await first.client.changePassword({
        current: 'another long pass phrase',
        next: 'quite a different sentence',
      });
      expect(first.cookie()).not.toBe(between);
      expect((await first.client.session()).person?.name).toBe('New Word');
      for (const ended of [visit(server.url, between), other])
        expect((await ended.client.session()).person).toBeUndefined();
      expect(await first.client.sessions()).toMatchObject([{ here: true, device: 'A program' }]);
    });

    it('end when they are not used for two weeks, and after sixty days in any case', async () => {
      const tables = await openTables(installation);
      try {
        for (const past of [
          `"lastSeenAt" = now() - interval '15 days'`,
          `"expiresAt" = now() - interval '1 minute'`,
        ]) {
          const visitor = await signIn(server.url, 'One editor');
          const [own] = await visitor.client.sessions();
          if (!own) throw new Error('a session that is signed in is not listed');
          const { id, begunAt, endsAt } = own;
          expect(Date.parse(endsAt) - Date.parse(begunAt)).toBeCloseTo(60 * 24 * 3600_000, -5);
          await tables.pool.query(`update "Session" set ${past} where "id" = $1`, [id]);
          expect((await visitor.fetch('/api/people')).status).toBe(401);
        }
      } finally {
        await tables.close();
      }
    });

    it('are their own people’s alone to end', async () => {
      const [session] = await owner.client.sessions();
      const viewer = await join(owner, 'viewer', 'One viewer');
      const answer = await viewer.fetch(`/api/sessions/${session?.id ?? ''}`, { method: 'DELETE' });
      expect(answer.status).toBe(404);
      expect((await owner.client.session()).person?.name).toBe('Ida Rask');
    });

    it('take a cookie bound to this host over TLS, as only a trusted proxy can say', async () => {
      const behind = await startSecond(installation, { SOJOURN_TRUSTED_PROXIES: '127.0.0.1' });
      try {
        const over = async (url: string) =>
          fetch(`${url}/api/session`, {
            method: 'POST',
            headers: { 'content-type': 'application/json', 'x-forwarded-proto': 'https' },
            body: JSON.stringify({ email: 'one.editor@example.org', password: 'another long pass phrase' }),
          });
        const trusted = await over(behind.url);
        expect(trusted.headers.getSetCookie().join()).toMatch(
          /^__Host-sojourn_session=[^;]+;(?=.*; Secure)(?=.*; HttpOnly)(?=.*; SameSite=Strict)(?!.*Domain)/,
        );
        expect(trusted.headers.get('strict-transport-security')).toBe('max-age=31536000; includeSubDomains');
        const forged = await over(server.url);
        expect(forged.headers.getSetCookie().join()).toMatch(/^sojourn_session=(?!.*Secure)/);
        expect(forged.headers.get('strict-transport-security')).toBeNull();
        // A cookie without the binding counts for nothing over TLS.
        const plain = forged.headers.getSetCookie()[0]?.split(';')[0] ?? '';
        const headers = { cookie: plain, 'x-forwarded-proto': 'https' };
        expect((await fetch(`${behind.url}/api/people`, { headers })).status).toBe(401);
        expect((await fetch(`${behind.url}/api/people`, { headers: { cookie: plain } })).status).toBe(200);
      } finally {
        await behind.stop();
      }
    });
  });

  it('tells browsers what they may do, with every answer', async () => {
    for (const address of ['/', '/api/people', '/api/nothing-here', '/api/openapi.json', '/health/live']) {
      const { headers } = await owner.fetch(address);
      const policy = headers.get('content-security-policy') ?? '';
      for (const part of [
        "default-src 'none'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
      ])
        expect(policy).toContain(part);
      expect(policy).not.toMatch(/unsafe|\*/);
      expect(headers.get('x-content-type-options')).toBe('nosniff');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
      expect(headers.get('cross-origin-opener-policy')).toBe('same-origin');
      expect(headers.get('cross-origin-resource-policy')).toBe('same-origin');
      expect(headers.get('access-control-allow-origin')).toBeNull();
      expect(headers.get('content-type')).toMatch(/; charset=utf-8$/i);
      expect(headers.get('server') ?? headers.get('x-powered-by')).toBeNull();
    }
  });

  it('lets no cache keep what it answers to a person', async () => {
    for (const address of ['/api/people', '/api/session', '/api/nothing-here', '/api/dashboard'])
      expect((await owner.fetch(address)).headers.get('cache-control')).toContain('no-store');
  });

  it('takes no other methods, no parameter twice, no unknown field and no polluted object', async () => {
    const status = async (address: string, init?: RequestInit) => (await owner.fetch(address, init)).status;
    const sent = (method: string, body: string) => ({
      method,
      headers: { 'content-type': 'application/json' },
      body,
    });
    expect(await status('/api/history?from=2026-01-01&from=2026-01-02')).toBe(422);
    expect(await status('/api/history?unknown=1')).toBe(422);
    expect(await status('/api/people', { method: 'DELETE' })).toBe(404);
    expect(await status('/api/history/check', sent('POST', '{"more":1}'))).toBe(422);
    expect(await status('/api/makers', sent('POST', '{"name":"x","__proto__":{"role":"owner"}}'))).toBe(400);
    const xml = { method: 'POST', headers: { 'content-type': 'text/xml' }, body: '<name/>' };
    expect(await status('/api/makers', xml)).toBe(415);
    const traced = await new Promise<string>((resolve) => {
      const { hostname, port } = new URL(server.url);
      const socket = connect(Number(port), hostname, () =>
        socket.write(`TRACE /api/people HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n`),
      );
      let heard = '';
      socket.on('data', (chunk) => (heard += chunk.toString('latin1'))).on('close', () => resolve(heard));
    });
    expect(traced).toMatch(/^HTTP\/1\.1 4\d\d /);
  });

  it('opens no socket to another site’s page', async () => {
    const asked = (origin: string) =>
      owner.fetch('/api/socket/?EIO=4&transport=polling', { headers: { origin } });
    expect((await asked(server.url)).status).toBe(200);
    expect((await asked('https://elsewhere.example')).status).toBe(403);
  });

  it('sends nobody elsewhere: an address is a page of this house or nothing', async () => {
    for (const address of [
      '//elsewhere.example',
      '/%2f%2felsewhere.example',
      '/?next=https://elsewhere.example',
    ]) {
      const answer = await fetch(`${server.url}${address}`, { redirect: 'manual' });
      expect(answer.status).not.toBe(301);
      expect(answer.headers.get('location')).toBeNull();
    }
  });

  it('takes any long password but the common, the repeated and the guessable', async () => {
    const accept = async (password: string) => {
      const { link = '' } = await owner.client.invite({ role: 'viewer', note: 'password' });
      const token = link.slice(link.indexOf('#') + 1);
      const email = `p${Math.abs(hashOf(password))}@example.org`;
      const answer = await fetch(`${server.url}/api/invitations/accept`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ token, name: 'Vera Holt', email, password }),
      });
      return answer.status;
    };
    for (const weak of [
      'password1234',
      'qwertyuiop12',
      'aaaaaaaaaaaaaa',
      '123412341234',
      'veraholt2026!',
      'tooshort',
    ])
      expect(await accept(weak)).toBe(422);
    for (const fine of [
      '            a b c d e',
      'ñandú ñandú über alles',
      'x'.repeat(3) + 'only lower case words '.repeat(4),
    ])
      expect(await accept(fine)).toBe(201);
  });
});

const hashOf = (text: string): number =>
  Array.from(text).reduce((sum, c) => (sum * 31 + (c.codePointAt(0) ?? 0)) | 0, 7);
