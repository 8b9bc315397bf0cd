/**
 * Access tokens at a real server: every route against every scope, what ends a token, what a token never is, and that
 * none is written down anywhere.
 */
import { io, type Socket } from 'socket.io-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { allows } from '../../apps/server/access/accessGuard.js';
import { scopesFor, tokenScopes } from '../../apps/server/access/tokenScopes.js';
import type { Access } from '../../apps/server/http/route.js';
import { scopes, type FollowReply, type Role, type Scope } from '../../libs/contracts/index.js';
import type { Database } from '../../libs/store/index.js';
import { databaseOf } from './databaseOf.js';
import { inventedImpedance } from './inventedOrbits.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { readmeExample, runExample } from './readmeExample.js';
import { join, makeUnit, refusalOf, setUpOwner, type Visitor } from './visitor.js';

interface TokenRoute {
  readonly method: string;
  readonly path: string;
  readonly access: Access;
  readonly scopes: readonly Scope[];
}
const nobody = '00000000-0000-4000-8000-000000000000';

describe('access tokens', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let database: Database;
  let owner: Visitor;
  let routes: TokenRoute[];
  const made: string[] = [];

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    database = await databaseOf(installation);
    owner = await setUpOwner(server.url);
    routes = await routeList(server.url);
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
  });

  const tokenOf = async (who: Visitor, ...opens: Scope[]): Promise<{ id: string; token: string }> => {
    const { id, token = '' } = await who.client.addToken({ name: `For ${opens.join()}`, scopes: opens });
    made.push(token);
    return { id, token };
  };
  const ask = (token: string, path: string, init: RequestInit = {}): Promise<Response> =>
    fetch(`${server.url}${path}`, {
      ...init,
      headers: { ...(init.headers as Record<string, string>), authorization: `Bearer ${token}` },
    });

  it('is shown once, kept as a hash, runs out after 90 days unless asked otherwise and a year at most', async () => {
    const shown = await owner.client.addToken({ name: 'The computer at the rig', scopes: ['measure'] });
    made.push(shown.token ?? '');
    expect(shown.token).toMatch(/^sojourn_[\w-]{43}$/);
    const days = (Date.parse(shown.expiresAt) - Date.parse(shown.createdAt)) / 86_400_000;
    expect(days).toBeCloseTo(90, 3);
    const [listed] = await owner.client.tokens();
    expect(listed).toMatchObject({ id: shown.id, state: 'active', lastUsedAt: null });
    expect(listed).not.toHaveProperty('token');
    const rows = await database.pool.query(`select row_to_json(t)::text as row from "ApiToken" t`);
    expect(JSON.stringify(rows.rows)).not.toContain(shown.token);
    const tooLong = { name: 'For ever', scopes: ['read' as const], daysValid: 366 };
    expect((await refusalOf(owner.client.addToken(tooLong))).refusal.fields?.[0]?.path).toBe('daysValid');
    expect((await refusalOf(owner.client.addToken({ name: 'Nothing', scopes: [] }))).status).toBe(422);
  });

  it('names the scopes of every route in its description, and nothing that is not a route', () => {
    expect(routes.length).toBeGreaterThan(120);
    const described = new Set(
      routes.map(
        ({ method, path }) => `${method} ${path.replace(/^\/api\//, '').replaceAll(/\{(\w+)\}/g, ':$1')}`,
      ),
    );
    // The addresses of single uploads are the protocol’s own and not in the description.
    const named = Object.keys(tokenScopes).filter((route) => !route.endsWith('uploads/:upload'));
    expect(named.filter((route) => !described.has(route))).toEqual([]);
    const open = routes.filter((route) => route.scopes.length > 0);
    console.log(
      `${open.length} of ${routes.length} routes open to tokens, ${routes.length - open.length} to people alone`,
    );
    for (const method of ['POST', 'PATCH', 'PUT', 'DELETE'])
      for (const path of [
        '/api/session/password',
        '/api/people/:id',
        '/api/tokens',
        '/api/backups',
        '/api/no-such',
      ])
        expect(scopesFor(method, path)).toEqual([]);
  });

  it('opens to each token exactly the routes of its scope, within what its owner may', async () => {
    const viewer = await join(owner, 'viewer', 'Vi Stone');
    const wrong: string[] = [];
    const each = [
      ...scopes.map((scope) => ({ who: owner, role: 'owner' as const, scope })),
      { who: viewer, role: 'viewer' as const, scope: 'read' as const },
    ];
    for (const { who, role, scope } of each) {
      const { token } = await tokenOf(who, scope);
      for (const route of routes) wrong.push(...(await misjudged(route, role, scope, token)));
    }
    expect(wrong).toEqual([]);
  });

  async function misjudged(route: TokenRoute, role: Role, scope: Scope, token: string): Promise<string[]> {
    const body = ['POST', 'PATCH', 'PUT'].includes(route.method)
      ? { headers: { 'content-type': 'application/json' }, body: '{}' }
      : {};
    const answer = await ask(token, route.path.replaceAll(/\{[^}]+\}/g, nobody), {
      method: route.method,
      ...body,
    });
    await answer.arrayBuffer();
    // A file that is nobody’s, or a feed of a room that nobody named, is refused by the thing’s own rule.
    if (route.path === '/api/feed') return [];
    const letIn = answer.status !== 401 && answer.status !== 403;
    const expected = allows(route.access, role) && route.scopes.includes(scope);
    const what = `a token of ${role} for ${scope}: ${route.method} ${route.path} answered ${answer.status}`;
    return letIn === expected && answer.status < 500 ? [] : [what];
  }

  it('stands alone: no cookie counts beside it, and no origin is asked of it', async () => {
    const { token } = await tokenOf(owner, 'read');
    const write = {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie: owner.cookie() },
      body: JSON.stringify({ name: 'Wren & Sedge (invented)' }),
    };
    const refused = await ask(token, '/api/makers', write);
    expect([refused.status, ((await refused.json()) as { code: string }).code]).toEqual([403, 'token-scope']);
    const unknown = await ask('sojourn_not-a-token-of-this-house', '/api/loans', {
      headers: { cookie: owner.cookie() },
    });
    expect([unknown.status, ((await unknown.json()) as { code: string }).code]).toEqual([
      401,
      'token-refused',
    ]);
    const loans = await tokenOf(owner, 'loans');
    const elsewhere = { ...write, headers: { ...write.headers, origin: 'https://elsewhere.example' } };
    expect((await ask(loans.token, '/api/makers', elsewhere)).status).toBe(201);
    const session = (await (await ask(token, '/api/session')).json()) as { person?: { email: string } };
    expect(session.person?.email).toBe('ida@example.org');
  });

  it('never does more than its owner may now, and dies with their access', async () => {
    const editor = await join(owner, 'editor', 'Ed Moor');
    const { token } = await tokenOf(editor, 'read');
    expect((await ask(token, '/api/loans')).status).toBe(200);
    const change = async (wanted: { role?: 'viewer' | 'editor'; disabled?: boolean }) => {
      const person = (await owner.client.people()).find(({ name }) => name === 'Ed Moor');
      await owner.client.changePerson(person?.id ?? '', { version: person?.version ?? 0, ...wanted });
    };
    await change({ role: 'viewer' });
    expect((await ask(token, '/api/loans')).status).toBe(403);
    await change({ disabled: true });
    expect((await ask(token, '/api/published')).status).toBe(401);
  });

  it('listens blind as its owner does', async () => {
    const blind = await join(owner, 'cohost', 'Bo Lind');
    const { unit } = await makeUnit(owner);
    const { token } = await tokenOf(blind, 'read', 'measure');
    expect((await ask(token, `/api/units/${unit.id}/sets`)).status).toBe(200);
    await blind.client.addListening(unit.id, { heardOn: '2031-05-01' });
    const sealed = await ask(token, `/api/units/${unit.id}/sets`);
    expect([sealed.status, ((await sealed.json()) as { code: string }).code]).toEqual([
      403,
      'sealed-for-you',
    ]);
  });

  it('ends at once when it is revoked: requests, sockets and an upload under way', async () => {
    const { unit } = await makeUnit(owner);
    const set = await owner.client.addSet(unit.id, { name: 'Cut off' });
    const { id, token } = await tokenOf(owner, 'read', 'measure');
    const socket = await followWith(server.url, token);
    const gone = new Promise<number>((resolve) => {
      const began = performance.now();
      socket.once('disconnect', () => resolve(performance.now() - began));
    });
    const upload = await beginUpload(token, set.id);
    await owner.client.revokeToken(id);
    expect(await gone).toBeLessThan(2000);
    expect(await upload.cutAfterMs).toBeLessThan(3000);
    expect((await ask(token, `/api/sets/${set.id}`)).status).toBe(401);
    expect((await owner.client.set(set.id)).files).toEqual([]);
    await expect(followWith(server.url, token)).rejects.toThrow('sign-in');
    expect((await owner.client.tokens()).find((one) => one.id === id)?.state).toBe('revoked');
  });

  /** An upload whose body has begun and does not end. */
  async function beginUpload(token: string, setId: string): Promise<{ cutAfterMs: Promise<number> }> {
    const encode = (text: string) => Buffer.from(text).toString('base64');
    const tus = { 'tus-resumable': '1.0.0' };
    const begun = await ask(token, '/api/uploads', {
      method: 'POST',
      headers: {
        ...tus,
        'upload-length': '1000000',
        'upload-metadata': `setId ${encode(setId)},filename ${encode('h+000.csv')}`,
      },
    });
    expect(begun.status).toBe(201);
    const place = new URL(begun.headers.get('location') ?? '', `${server.url}/api/uploads/`);
    const began = performance.now();
    const sending = request(place, {
      method: 'PATCH',
      headers: {
        ...tus,
        authorization: `Bearer ${token}`,
        'upload-offset': '0',
        'content-type': 'application/offset+octet-stream',
        'content-length': '1000000',
      },
    });
    const cutAfterMs = new Promise<number>((resolve, reject) => {
      sending.once('error', () => resolve(performance.now() - began));
      sending.once('response', ({ statusCode }) => reject(new Error(`It answered ${statusCode}.`)));
    });
    await new Promise((resolve) => sending.write(Buffer.alloc(1000, 65), resolve));
    return { cutAfterMs };
  }

  it('reaches no further through a socket than its scope, and writes in no draft', async () => {
    const { token } = await tokenOf(owner, 'measure');
    await expect(followWith(server.url, token)).rejects.toThrow('sign-in');
    const reading = await followWith(server.url, (await tokenOf(owner, 'read')).token);
    const { loan } = await makeUnit(owner);
    const answered = reading
      .timeout(700)
      .emitWithAck('draft-open', { loanId: loan.id, vector: new Uint8Array([0]) })
      .then(
        () => true,
        () => false,
      );
    expect(await answered).toBe(false);
    reading.disconnect();
  });

  it('is enough for the example of the README: a set, a file, its analysis, its findings', async () => {
    await makeUnit(owner);
    const { token } = await tokenOf(owner, 'read', 'measure');
    const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-example-'));
    try {
      await writeFile(path.join(folder, 'impedance.csv'), inventedImpedance(6).bytes);
      const code = await readmeExample('ts', 'clientWithToken');
      const env = { SOJOURN_SERVER: server.url, SOJOURN_TOKEN: token };
      expect(await runExample(code, folder, env)).toMatch(/^done: .*minimumOhm/);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  });

  it('may ask so often and no oftener', async () => {
    const { token } = await tokenOf(owner, 'read');
    expect((await ask(token, '/api/session')).status).toBe(200);
    await database.pool.query(`update "AttemptLimit" set "points" = 1200 where "key" like 'token:%'`);
    const refused = await ask(token, '/api/session');
    expect(refused.status).toBe(429);
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
  });

  it('is somebody’s own, and of a number', async () => {
    const other = await join(owner, 'cohost', 'Una Gale');
    const { id } = await tokenOf(owner, 'read');
    expect((await refusalOf(other.client.revokeToken(id))).status).toBe(404);
    expect(await other.client.tokens()).toEqual([]);
    for (let at = 0; at < 20; at++) await tokenOf(other, 'read');
    const refused = await refusalOf(other.client.addToken({ name: 'One more', scopes: ['read'] }));
    expect(refused.refusal).toMatchObject({ code: 'too-many-tokens' });
  });

  it('is written nowhere: not in the log, not in the history, not in the feed', async () => {
    const history = JSON.stringify(await owner.client.history());
    const feed = await (await owner.fetch('/api/feed?room=team&after=0')).text();
    expect(history).toContain('made the access token');
    expect(made.length).toBeGreaterThan(20);
    const told = made.filter((token) =>
      [server.output(), history, feed].some((text) => text.includes(token)),
    );
    expect(told).toEqual([]);
  });
});

async function followWith(url: string, token: string): Promise<Socket> {
  const socket = io(url, {
    path: '/api/socket',
    extraHeaders: { authorization: `Bearer ${token}` },
    forceNew: true,
    reconnection: false,
  });
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', resolve);
    socket.once('connect_error', reject);
  });
  const reply = (await socket.emitWithAck('follow', { room: 'team', after: 0 })) as FollowReply;
  expect(reply.ok).toBe(true);
  return socket;
}

async function routeList(url: string): Promise<TokenRoute[]> {
  const document = (await (await fetch(`${url}/api/openapi.json`)).json()) as {
    paths: Record<string, Record<string, { 'x-access': Access; 'x-scopes': Scope[] }>>;
  };
  return Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods)
      .filter(([method]) => ['get', 'head', 'post', 'put', 'patch', 'delete'].includes(method))
      .map(([method, route]) => ({
        method: method.toUpperCase(),
        path,
        access: route['x-access'],
        scopes: route['x-scopes'],
      })),
  );
}
