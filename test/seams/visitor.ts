/** Somebody at a server: a cookie jar, the typed client, an open socket. */
import { io, type Socket } from 'socket.io-client';
import {
  createClient,
  LIST_PART,
  Refused,
  sender,
  type Client,
  type FeedEvent,
  type FollowReply,
  type LoanSummary,
  type Room,
} from '../../libs/contracts/index.js';

export interface Visitor {
  readonly client: Client;
  readonly url: string;
  cookie(): string;
  fetch(path: string, init?: RequestInit): Promise<Response>;
  put(setId: string, name: string, bytes: Uint8Array | string): Promise<Response>;
}

export function visit(url: string, jar = ''): Visitor {
  let cookie = jar;
  const withCookie = async (input: string | URL | Request, init: RequestInit = {}): Promise<Response> => {
    const headers = new Headers(init.headers);
    if (cookie) headers.set('cookie', cookie);
    const answer = await fetch(input, { ...init, headers });
    const [set] = answer.headers.getSetCookie();
    if (set) cookie = set.split(';')[0] ?? '';
    return answer;
  };
  return {
    client: createClient(sender(withCookie, url)),
    url,
    cookie: () => cookie,
    fetch: (path, init) => withCookie(`${url}${path}`, init),
    put: (setId, name, bytes) =>
      withCookie(`${url}/api/sets/${setId}/files?name=${encodeURIComponent(name)}`, {
        method: 'PUT',
        headers: { 'content-type': 'application/octet-stream' },
        body: bytes as Uint8Array<ArrayBuffer>,
      }),
  };
}

export const owner = {
  teamName: 'The Heath Room (invented)',
  timeZone: 'Europe/Berlin',
  name: 'Ida Rask',
  email: 'ida@example.org',
  password: 'a long enough pass phrase',
} as const;

export async function setUpOwner(url: string): Promise<Visitor> {
  const visitor = visit(url);
  await visitor.client.setUp(owner);
  return visitor;
}

/** Invites and accepts: another person with a role, signed in. */
export async function join(
  host: Visitor,
  role: 'cohost' | 'editor' | 'viewer',
  name: string,
): Promise<Visitor> {
  const { link = '' } = await host.client.invite({ role, note: name });
  const guest = visit(host.url);
  await guest.client.acceptInvitation({
    token: link.slice(link.indexOf('#') + 1),
    name,
    email: `${name.toLowerCase().replaceAll(' ', '.')}@example.org`,
    password: 'another long pass phrase',
  });
  return guest;
}

export async function makeUnit(visitor: Visitor, kind: 'standmount' | 'subwoofer' = 'standmount') {
  const { client } = visitor;
  const maker = await client.addMaker({ name: 'Wren & Sedge (invented)' });
  const loan = await client.addLoan({ makerId: maker.id, title: 'Heron 3', returnBy: '2031-06-30' });
  const unit = await client.addUnit(loan.id, { name: 'Heron 3', kind });
  return { maker, loan, unit };
}

/** Follows a room and keeps every event in the order it came. */
export async function follow(
  visitor: Visitor,
  room: Room = 'team',
  after = 0,
): Promise<{ socket: Socket; events: FeedEvent[] }> {
  const socket = io(visitor.url, {
    path: '/api/socket',
    extraHeaders: { cookie: visitor.cookie() },
    forceNew: true,
    transports: ['websocket'],
  });
  const events: FeedEvent[] = [];
  socket.on('event', (event: FeedEvent) => events.push(event));
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', resolve);
    socket.once('connect_error', reject);
  });
  const reply = (await socket.emitWithAck('follow', { room, after })) as FollowReply;
  if (!reply.ok) throw new Error(reply.message);
  events.push(...reply.events);
  return { socket, events };
}

export async function waitFor<T>(
  look: () => T | undefined | Promise<T | undefined>,
  what: string,
  patienceMs = 30_000,
): Promise<T> {
  for (const ends = Date.now() + patienceMs; Date.now() < ends;) {
    const found = await look();
    if (found !== undefined) return found;
    await new Promise((resolve) => setTimeout(resolve, 25));
  }
  throw new Error(`Waited ${patienceMs / 1000} s for ${what}.`);
}

export async function refusalOf(work: Promise<unknown>): Promise<Refused> {
  try {
    await work;
  } catch (error) {
    if (error instanceof Refused) return error;
    throw error;
  }
  throw new Error('It was not refused.');
}

/** The list of loans comes in parts. */
export async function everyLoan({ client }: Visitor): Promise<LoanSummary[]> {
  const loans: LoanSummary[] = [];
  for (;;) {
    const part = await client.loans({ after: loans.at(-1)?.id });
    loans.push(...part);
    if (part.length < LIST_PART) return loans;
  }
}
