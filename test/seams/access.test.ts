/**
 * Every route against every kind of visitor, generated from the route list: a route that is added without a
 * rule fails here (and keeps the server from starting), one that lets the wrong person in fails too.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allows } from '../../apps/server/access/accessGuard.js';
import { routesWithoutRule } from '../../apps/server/access/everyRouteHasARule.js';
import type { Access } from '../../apps/server/http/route.js';
import { mayFollow } from '../../apps/server/live/liveSockets.js';
import { roles, type Role } from '../../libs/contracts/index.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { follow, join, setUpOwner, visit, type Visitor } from './visitor.js';

interface RouteRule {
  readonly method: string;
  readonly path: string;
  readonly access: Access | undefined;
}

/** What anybody may reach, by name: adding to it is a decision somebody reads. */
const publicRoutes = [
  'GET /api/session',
  'POST /api/session',
  'DELETE /api/session',
  'POST /api/setup',
  'POST /api/invitations/look',
  'POST /api/invitations/accept',
  'GET /api/calendar/{file}',
  'GET /api/published/{id}/listening',
  'GET /api/reviews',
  'GET /api/reviews/units',
  'GET /api/reviews/comparison',
  'GET /api/reviews/comparison/{figure}',
  'GET /api/reviews/{id}',
  'GET /api/reviews/{id}/versions/{version}/bundle',
  'GET /api/reviews/{id}/versions/{version}/units/{unit}/figures/{figure}',
  'POST /api/reviews/{id}/feedback',
  'POST /api/previews/look',
  'POST /api/previews/still',
  'POST /api/previews/vote',
  'POST /api/previews/comment',
  'GET /health/live',
  'GET /health/ready',
  'GET /metrics',
];
const nobody = '00000000-0000-4000-8000-000000000000';

describe('access', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let routes: RouteRule[];
  const visitors = new Map<Role | 'stranger', Visitor>();

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    const owner = await setUpOwner(server.url);
    visitors.set('owner', owner).set('stranger', visit(server.url));
    for (const role of ['cohost', 'editor', 'viewer'] as const)
      visitors.set(role, await join(owner, role, `One ${role}`));
    routes = await routeList(server.url);
  });
  afterAll(() => installation.remove());

  it('gives every route a rule', () => {
    expect(routes.length).toBeGreaterThan(45);
    expect(routes.filter(({ access }) => access === undefined)).toEqual([]);
  });

  it('is public only where this list says so', () => {
    const found = routes
      .filter(({ access }) => access === 'public')
      .map(({ method, path }) => `${method} ${path}`);
    expect(found.sort()).toEqual([...publicRoutes].sort());
  });

  it('lets each kind of visitor in exactly where the rule does', async () => {
    const wrong: string[] = [];
    for (const route of routes.filter(({ access }) => access !== 'public')) {
      for (const [who, visitor] of visitors) {
        const status = await statusOf(visitor, route);
        const role = who === 'stranger' ? undefined : who;
        const letIn = status !== 401 && status !== 403;
        // A member may be refused by the object's own rule; a stranger or a lesser role never gets that far.
        const expected = allows(route.access ?? 'owner', role);
        if (letIn && !expected) wrong.push(`${who} got ${status} from ${route.method} ${route.path}`);
        if (!letIn && expected && !ownRule(route))
          wrong.push(`${who} was kept out of ${route.method} ${route.path}`);
        if (status >= 500) wrong.push(`${route.method} ${route.path} failed with ${status} for ${who}`);
      }
    }
    expect(wrong).toEqual([]);
  });

  it('finds a controller method without a rule', () => {
    class Careless {
      open() {}
    }
    const method = Object.getOwnPropertyDescriptor(Careless.prototype, 'open')?.value as object;
    Reflect.defineMetadata('path', 'open', method);
    const module = { controllers: new Map([['Careless', { metatype: Careless }]]) };
    const app = { get: () => new Map([['m', module]]) };
    expect(routesWithoutRule(app as never)).toEqual(['Careless.open']);
  });

  it('opens rooms by rule: the team’s to members, a person’s to that person, anything else to nobody', () => {
    for (const role of roles) {
      expect(mayFollow('team', { id: 'a', role })).toBe(role !== 'viewer');
      expect(mayFollow('published', { id: 'a', role })).toBe(true);
      expect(mayFollow('person:a', { id: 'a', role })).toBe(true);
      for (const room of ['person:b', '', 'Team', 'team ', 'unit:1', '__proto__']) {
        expect(mayFollow(room, { id: 'a', role })).toBe(false);
      }
    }
  });

  it('keeps a viewer out of the team’s room and feed, and a stranger off the socket', async () => {
    const viewer = visitors.get('viewer') as Visitor;
    await expect(follow(viewer, 'team')).rejects.toThrow('Your role does not allow this.');
    await expect(follow(visit(server.url), 'published')).rejects.toThrow('sign-in');
    expect((await viewer.fetch('/api/feed?room=team&after=0')).status).toBe(403);
    expect((await viewer.fetch('/api/feed?room=published&after=0')).status).toBe(200);
  });

  it('refuses a write that another site’s page sends with a member’s cookie', async () => {
    const owner = visitors.get('owner') as Visitor;
    const forged = {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin: 'https://elsewhere.example' },
      body: '{"name":"x"}',
    };
    expect((await owner.fetch('/api/makers', forged)).status).toBe(403);
    const sameSite = {
      ...forged,
      headers: { 'content-type': 'application/json', 'sec-fetch-site': 'cross-site' },
    };
    expect((await owner.fetch('/api/makers', sameSite)).status).toBe(403);
  });

  it('limits guesses by connection, whatever a forwarding header claims, with one answer for known and unknown', async () => {
    const guess = (email: string, claimed: string) =>
      fetch(`${server.url}/api/session`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-forwarded-for': claimed },
        body: JSON.stringify({ email, password: 'not the pass phrase' }),
      });
    const known = await guess('ida@example.org', '198.51.100.1');
    const unknown = await guess('nobody@example.org', '198.51.100.2');
    expect([known.status, unknown.status]).toEqual([401, 401]);
    expect(await known.json()).toEqual(await unknown.json());
    const answers: number[] = [];
    for (let at = 0; at < 10; at++)
      answers.push((await guess('ida@example.org', `198.51.100.${at + 10}`)).status);
    expect(answers.at(-1)).toBe(429);
  });

  it('gives one owner when two set up at once', async () => {
    const other = await makeInstallation('embedded');
    try {
      const fresh = await other.start();
      const outcomes = await Promise.allSettled([
        setUpOwner(fresh.url),
        setUpOwner(fresh.url),
        setUpOwner(fresh.url),
      ]);
      expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
    } finally {
      await other.remove();
    }
  });

  it('cuts open sockets off within a second or so of a person being shut out', async () => {
    const owner = visitors.get('owner') as Visitor;
    const leaving = await join(owner, 'editor', 'Soon Gone');
    const { socket } = await follow(leaving);
    const gone = new Promise<number>((resolve) => {
      const began = performance.now();
      socket.once('disconnect', () => resolve(performance.now() - began));
    });
    const person = (await owner.client.people()).find(({ name }) => name === 'Soon Gone');
    await owner.client.changePerson(person?.id ?? '', { version: person?.version ?? 0, disabled: true });
    expect(await gone).toBeLessThan(2000);
    expect((await leaving.fetch('/api/loans')).status).toBe(401);
  });
});

/** Routes whose handler adds a rule of its own to the route's. */
const ownRules = ['PATCH /api/people/{id}', 'GET /api/people/{id}/removal', 'GET /api/feed'];
const ownRule = ({ method, path }: RouteRule): boolean => ownRules.includes(`${method} ${path}`);

async function statusOf(visitor: Visitor, { method, path }: RouteRule): Promise<number> {
  const address = path.replaceAll(/\{[^}]+\}/g, nobody);
  const body = ['POST', 'PATCH', 'PUT'].includes(method)
    ? { headers: { 'content-type': 'application/json' }, body: '{}' }
    : {};
  const answer = await visitor.fetch(address, { method, ...body });
  await answer.arrayBuffer();
  return answer.status;
}

async function routeList(url: string): Promise<RouteRule[]> {
  const document = (await (await fetch(`${url}/api/openapi.json`)).json()) as {
    paths: Record<string, Record<string, { 'x-access'?: Access }>>;
  };
  return Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, route]) => ({
      method: method.toUpperCase(),
      path,
      access: route['x-access'],
    })),
  );
}
