/**
 * Nothing unpublished reaches somebody who may not know it: every route of the server's own description, with real
 * things in it, asked by every kind of visitor; every room of the sockets; the feed; the messages; the log. A route
 * that is added is asked too, and fails here until something fills its parameters.
 */
import { io } from 'socket.io-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allows } from '../../apps/server/access/accessGuard.js';
import { makeLeakScene, titles, type LeakScene } from './leakScene.js';
import {
  addressesOf,
  describedRoutes,
  fillersByTable,
  idsByTable,
  type DescribedRoute,
  type Fillers,
} from './routeList.js';
import { secretsIn, type Secrets } from './secretsSeen.js';
import { waitFor, type Visitor } from './visitor.js';

/** Asked by a visitor these would end what is being looked at: their session, or that they listen blind. */
const ending = ['DELETE /api/session', 'POST /api/session/password', 'POST /api/listening/{id}/give-up'];
const writing = ['POST', 'PATCH', 'PUT'];

describe('leaks', () => {
  let scene: LeakScene;
  let routes: DescribedRoute[];
  let fillers: Fillers;
  let query: Readonly<Record<string, readonly string[]>>;

  beforeAll(async () => {
    scene = await makeLeakScene();
    routes = await describedRoutes(scene.server.url);
    fillers = { ...fillersByTable(routes, await idsByTable(scene.database)), ...scene.fillers };
    const people = await scene.ida.client.people();
    query = {
      units: [`${scene.unitId},${scene.outUnitId}`],
      room: ['team', 'published', ...people.map(({ id }) => `person:${id}`)],
      from: ['2031-01-01'],
      to: ['2031-12-31'],
      name: ['h+000.csv'],
      version: ['1'],
    };
  });
  afterAll(async () => {
    await scene.database.close();
    await scene.installation.remove();
  });

  const asked = (route: DescribedRoute): string[] => {
    const needed = [...route.neededQuery, ...(route.path === '/api/feed' ? ['room'] : [])];
    return needed.reduce(
      (addresses, name) => {
        const values = query[name];
        if (!values) throw new Error(`Nothing fills ?${name}= of ${route.path}.`);
        return addresses.flatMap((address) =>
          values.map(
            (value) => `${address}${address.includes('?') ? '&' : '?'}${name}=${encodeURIComponent(value)}`,
          ),
        );
      },
      addressesOf(route, fillers),
    );
  };

  /** What a visitor gets to know from these routes; the answers' statuses by route. */
  async function learned(visitor: Visitor, secrets: Secrets, which: readonly DescribedRoute[]) {
    const leaks: string[] = [];
    const statuses = new Map<string, number[]>();
    for (const route of which) {
      for (const address of asked(route)) {
        const answer = await visitor.fetch(address, requestOf(route.method));
        const seen = await secretsIn(new Uint8Array(await answer.arrayBuffer()), secrets);
        const headers = await secretsIn(Buffer.from(JSON.stringify([...answer.headers])), secrets);
        const name = `${route.method} ${route.path}`;
        statuses.set(name, [...(statuses.get(name) ?? []), answer.status]);
        for (const secret of [...seen, ...headers].slice(0, 3))
          leaks.push(`${name} (${answer.status}): ${secret}`);
      }
    }
    return { leaks, statuses };
  }

  const readable = () => routes.filter(({ method }) => method === 'GET');
  const writable = () =>
    routes.filter(({ method, path }) => writing.includes(method) && !ending.includes(`${method} ${path}`));
  const removable = () =>
    routes.filter(({ method, path }) => method === 'DELETE' && !ending.includes(`${method} ${path}`));

  it('fills every parameter of every route', () => {
    const unfilled = routes.flatMap((route) => {
      try {
        return asked(route).length > 0 ? [] : [route.path];
      } catch (error) {
        return [(error as Error).message];
      }
    });
    expect(unfilled).toEqual([]);
    expect(routes.length).toBeGreaterThan(80);
  });

  it('would notice: the owner finds every kind of secret there', async () => {
    const { leaks, statuses } = await learned(scene.ida, scene.embargoed, readable());
    const told = leaks.join('\n');
    for (const words of [
      titles.loan,
      'kettle in a draughty hall',
      'window pane rattled',
      'a rasp that whoever',
      'a file',
      'a count',
    ])
      expect(told).toContain(words);
    expect(
      leaks.filter((leak) => leak.startsWith('GET /api/analyses/{id}/result (200)')).length,
    ).toBeGreaterThan(0);
    // What is planted is found by the addresses: nobody is refused a thing that is not there.
    const nothingThere = [...statuses].filter(
      ([name, all]) => all.every((status) => status === 404) && !absent.includes(name),
    );
    expect(nothingThere.map(([name]) => name)).toEqual([]);
  });

  it('tells nobody outside the team a number, a word or a title before the embargo', async () => {
    const routesAsked = [...readable(), ...writable()];
    for (const [visitor, role] of [
      [scene.stranger, undefined],
      [scene.viewer, 'viewer'],
    ] as const) {
      const { leaks, statuses } = await learned(visitor, scene.embargoed, routesAsked);
      expect(leaks).toEqual([]);
      const letIn = routesAsked.filter(
        ({ method, path, access }) =>
          !allows(access ?? 'owner', role) &&
          statuses.get(`${method} ${path}`)?.some((status) => status !== 401 && status !== 403),
      );
      expect(letIn).toEqual([]);
    }
    const published = await scene.viewer.client.published();
    expect(published.map(({ title }) => title)).toEqual([titles.out]);
  });

  it('tells whoever listens blind no result, by whatever they ask or write', async () => {
    expect((await scene.bo.client.unit(scene.unitId)).sealedForYou).toBe(true);
    const { leaks, statuses } = await learned(scene.bo, scene.results, [...readable(), ...writable()]);
    expect(leaks).toEqual([]);
    expect(statuses.get('GET /api/analyses/{id}/result')).toContain(403);
    // They are a member otherwise: the other unit is theirs to see.
    expect(statuses.get('GET /api/archive/units/{id}/comparables')?.toSorted()).toEqual([200, 403]);
    expect((await scene.bo.client.unit(scene.unitId)).sealedForYou).toBe(true);
  });

  it('lets no search tell by what it finds or how many', async () => {
    const value = scene.result.sensitivity?.db ?? 0;
    const around = async (visitor: Visitor, middle: number) => {
      const { total, withheld, rows } = await visitor.client.archive({
        sensitivityDbMin: middle - 0.01,
        sensitivityDbMax: middle + 0.01,
      });
      return { total, withheld, rows: rows.length };
    };
    expect(await around(scene.ida, value)).toMatchObject({ total: 1, rows: 1 });
    expect(await around(scene.bo, value)).toEqual(await around(scene.bo, value + 5));
    expect(await around(scene.bo, value)).toMatchObject({ total: 0, rows: 0 });
  });

  it('says nothing in any room, neither on asking nor while it happens', async () => {
    const rooms = ['team', 'published', ...(query['room'] ?? []), ...ownRooms(scene)];
    const bo = await hearing(scene.bo, rooms, scene.loanId);
    const viewer = await hearing(scene.viewer, rooms, scene.loanId);
    const ida = await hearing(scene.ida, rooms, scene.loanId);
    const { id } = await scene.ida.client.requestAnalysis(scene.setId, { settings: { rearWall: 'three' } });
    const { version, draftVersion } = (await scene.ida.client.loan(scene.loanId)).verdict;
    const text = scene.results.strings.at(-2) ?? '';
    await scene.ida.client.changeVerdict(scene.loanId, { version, draftVersion, text });
    await waitFor(
      () => (ida.heard().includes(`"state":"done"`) && ida.heard().includes(id) ? true : undefined),
      'the owner to hear of the result',
    );
    // What is said after it has come too: the order in a room is that of the commits.
    await scene.ida.client.addMaker({ name: 'The last to be said (invented)' });
    await waitFor(() => (bo.heard().includes('The last to be said') ? true : undefined), 'the last event');
    expect(await secretsIn(Buffer.from(ida.heard()), scene.results)).not.toEqual([]);
    expect(await secretsIn(Buffer.from(bo.heard()), scene.results)).toEqual([]);
    expect(await secretsIn(Buffer.from(viewer.heard()), scene.embargoed)).toEqual([]);
    expect(bo.heard()).not.toContain(id);
    for (const one of [bo, viewer, ida]) one.close();
  });

  it('writes nothing of it into messages to them, nor into the log', async () => {
    const people = await scene.ida.client.people();
    const outside = people.filter(({ role }) => role === 'viewer').map(({ id }) => id);
    const blind = people.filter(({ name }) => name === 'Bo Lind').map(({ id }) => id);
    const sentTo = async (ids: readonly string[]) =>
      JSON.stringify(
        await scene.database.prisma.delivery.findMany({ where: { accountId: { in: [...ids] } } }),
      );
    expect(await secretsIn(Buffer.from(await sentTo(outside)), scene.embargoed)).toEqual([]);
    expect(await secretsIn(Buffer.from(await sentTo(blind)), scene.results)).toEqual([]);
    expect(await secretsIn(Buffer.from(scene.server.output()), scene.embargoed)).toEqual([]);
  });

  it('lets nobody take away what they may not see, and tells them nothing over it', async () => {
    for (const visitor of [scene.stranger, scene.viewer, scene.bo]) {
      const secrets = visitor === scene.bo ? scene.results : scene.embargoed;
      expect((await learned(visitor, secrets, removable())).leaks).toEqual([]);
    }
    expect(await scene.database.prisma.setFile.count({ where: { setId: scene.setId } })).toBe(1);
  });
});

/** There is none of these in the house, and their addresses say so; of two reviews to compare only one is out. */
const absent = [
  'GET /api/campaigns/{id}',
  'GET /api/uploads',
  'GET /api/reviews/comparison',
  'GET /api/reviews/comparison/{figure}',
];

function requestOf(method: string): RequestInit {
  if (!writing.includes(method)) return { method };
  // On a version nobody has seen: the refusal shows what stands now.
  return {
    method,
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ version: 999_999 }),
  };
}

/** Rooms nobody may follow today; whatever opens one of them is looked at. */
const ownRooms = ({ loanId, unitId, setId }: LeakScene): string[] =>
  [loanId, unitId, setId].flatMap((id) =>
    ['loan', 'unit', 'set', 'draft', 'preview', 'verdict'].map((kind) => `${kind}:${id}`),
  );

/** Everything that comes over a visitor's socket, asked for and unasked. */
async function hearing(
  visitor: Visitor,
  rooms: readonly string[],
  loanId: string,
): Promise<{ heard(): string; close(): void }> {
  const socket = io(visitor.url, {
    path: '/api/socket',
    extraHeaders: { cookie: visitor.cookie() },
    forceNew: true,
    transports: ['websocket'],
  });
  let heard = '';
  socket.onAny((...message: unknown[]) => (heard += said(message)));
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', resolve);
    socket.once('connect_error', reject);
  });
  for (const room of rooms) heard += said(await socket.emitWithAck('follow', { room, after: 0 }));
  // The shared text of a review; what is not there does not answer.
  const opened: unknown = await socket
    .timeout(400)
    .emitWithAck('draft-open', { loanId, vector: new Uint8Array([0]) })
    .catch(() => 'no answer');
  heard += said(opened);
  return { heard: () => heard, close: () => socket.disconnect() };
}

/** A message as text, what is binary in it read as text too. */
function said(message: unknown): string {
  if (message instanceof Uint8Array) return Buffer.from(message).toString('utf8');
  if (Array.isArray(message)) return `${message.map(said).join(' ')}\n`;
  if (typeof message !== 'object' || message === null) return String(message);
  const binary = Object.values(message).filter((part) => typeof part === 'object' && part !== null);
  return `${JSON.stringify(message)} ${binary.map(said).join(' ')}\n`;
}
