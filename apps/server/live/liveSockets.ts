/**
 * Open dashboards. Events are read from the feed in order and handed to the sockets of this server; a socket
 * follows a room only if its person's role allows it, and is cut off when its session ends.
 */
import type { Server as HttpServer } from 'node:http';
import { Inject, Injectable } from '@nestjs/common';
import { Redis } from 'ioredis';
import { createAdapter } from '@socket.io/redis-streams-adapter';
import { Server, type Socket } from 'socket.io';
import {
  DRAFT_MOST_BYTES,
  type FeedEvent,
  type FollowReply,
  type Role,
  type Room,
  type SocketMessages,
  type SocketRequests,
} from '../../../libs/contracts/index.js';
import {
  SILENCE_MS,
  blindListeners,
  eventsAfter,
  lastFeedNumber,
  sealedFrom,
} from '../../../libs/store/index.js';
import { isMember, isOwnOrigin } from '../access/accessGuard.js';
import { ApiTokens, bearerOf } from '../access/apiTokens.js';
import { COOKIE, HOST_COOKIE, Sessions, type SignedIn } from '../access/sessions.js';
import { aboutOf, asTold, eventsFor, mayTell } from '../listening/sealedEvents.js';
import { DraftSockets } from '../drafts/draftSockets.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

export const SOCKET_PATH = '/api/socket';
/** A session that ended without us being told (another server, the database) is noticed within this time. */
const RECHECK_MS = 400;

type LiveServer = Server<SocketRequests, SocketMessages, object, { person: SignedIn }>;
type LiveSocket = Socket<SocketRequests, SocketMessages, object, { person: SignedIn }>;

/** The rule for rooms: deny by default. */
export function mayFollow(room: string, person: { id: string; role: Role }): room is Room {
  if (room === 'team') return isMember(person.role);
  if (room === 'published') return true;
  return room === `person:${person.id}`;
}

@Injectable()
export class LiveSockets {
  #io: LiveServer | undefined;
  #redis: Redis | undefined;
  #timer: NodeJS.Timeout | undefined;
  #said = 0;
  #reading = false;
  #again = false;

  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(ApiTokens) private readonly tokens: ApiTokens,
    @Inject(DraftSockets) private readonly drafts: DraftSockets,
  ) {}

  async attach(http: HttpServer): Promise<void> {
    this.#said = await lastFeedNumber(this.config.database);
    const io: LiveServer = new Server(http, {
      path: SOCKET_PATH,
      serveClient: false,
      // The text of a review, written on for a long while without a network, comes in one piece.
      maxHttpBufferSize: DRAFT_MOST_BYTES + 100_000,
      allowRequest: (request, decide) => {
        const { origin, host } = request.headers;
        decide(null, origin === undefined || isOwnOrigin(origin, host));
      },
    });
    if (this.config.redisUrl) {
      this.#redis = new Redis(this.config.redisUrl, {
        maxRetriesPerRequest: null,
        socketTimeout: SILENCE_MS,
      });
      this.#redis.on('error', (error) => this.config.report(error, 'redis'));
      io.adapter(createAdapter(this.#redis));
    }
    io.use((socket, next) => {
      this.#admit(socket).then(
        (admitted) => next(admitted ? undefined : new Error('sign-in')),
        (error: Error) => next(error),
      );
    });
    io.on('connection', (socket) => {
      socket.on('follow', (ask, answer) => void this.#follow(socket, ask, answer));
      // A token follows what happens; the text of a review is written by people.
      if (socket.data.person.scopes === undefined) this.drafts.greet(socket);
    });
    this.#io = io;
    this.drafts.attach(io);
    this.#timer = setInterval(() => void this.#recheck(), RECHECK_MS);
  }

  /** Something was added to the feed: say what is new. Never two readers at once, so the order holds. */
  wake(): void {
    if (this.#reading) {
      this.#again = true;
      return;
    }
    this.#reading = true;
    this.#sayNew()
      .catch((error: Error) => this.config.report(error, 'feed'))
      .finally(() => {
        this.#reading = false;
        if (this.#again) {
          this.#again = false;
          this.wake();
        }
      });
  }

  /** Something was written in a draft, or somebody's cursor moved. */
  wakeDraft(about: string | undefined): void {
    this.drafts.wake(about);
  }

  endSession(sessionHash: string): void {
    this.#end(`session:${sessionHash}`);
  }

  /** @param exceptHash the session that made the change may stay */
  endPerson(personId: string, exceptHash?: string): void {
    const leaving = this.#io?.in(`account:${personId}`);
    const others = exceptHash ? leaving?.except(`session:${exceptHash}`) : leaving;
    others?.emit('signed-out');
    others?.disconnectSockets(true);
  }

  /** How many are open on this server. */
  get open(): number {
    return this.#io?.sockets.sockets.size ?? 0;
  }
  /** Events up to this number were handed to the sockets. */
  get said(): number {
    return this.#said;
  }

  /** The browser has a new session: its sockets come back with that one. */
  renewSession(sessionHash: string): void {
    this.#io?.in(`session:${sessionHash}`).disconnectSockets(true);
  }

  async close(): Promise<void> {
    clearInterval(this.#timer);
    await this.#io?.close();
    this.#redis?.disconnect();
  }

  #end(room: string): void {
    this.#io?.in(room).emit('signed-out');
    this.#io?.in(room).disconnectSockets(true);
  }

  async #admit(socket: LiveSocket): Promise<boolean> {
    const token = bearerOf(socket.handshake.headers);
    const person = await (token === undefined
      ? this.sessions.find(tokenOf(socket))
      : this.tokens.find(token));
    if (!person || (person.scopes && !person.scopes.includes('read'))) return false;
    socket.data.person = person;
    await socket.join([`session:${person.sessionHash}`, `account:${person.id}`]);
    return true;
  }

  async #follow(socket: LiveSocket, ask: unknown, answer: unknown): Promise<void> {
    if (typeof answer !== 'function') return;
    const reply = answer as (reply: FollowReply) => void;
    const { room, after } = (ask ?? {}) as { room?: unknown; after?: unknown };
    if (typeof room !== 'string' || typeof after !== 'number' || !Number.isSafeInteger(after) || after < 0) {
      reply({ ok: false, code: 'invalid', message: 'Say which room, and after which number.' });
      return;
    }
    if (!mayFollow(room, socket.data.person)) {
      reply({ ok: false, code: 'forbidden', message: 'Your role does not allow this.' });
      return;
    }
    try {
      // Joined before reading: what is said in between comes twice at worst, and the number tells.
      await socket.join(`room:${room}`);
      const { database } = this.config;
      const page = await eventsAfter(database, after, [room]);
      const sealed = await sealedFrom(database.prisma, socket.data.person.id);
      reply({ ok: true, ...page, events: eventsFor(page.events, sealed) });
    } catch (error) {
      this.config.report(error as Error, 'follow');
      reply({ ok: false, code: 'fault', message: 'The events could not be read; ask again.' });
    }
  }

  async #sayNew(): Promise<void> {
    for (let more = true; more;) {
      const page = await eventsAfter(this.config.database, this.#said);
      for (const event of page.events) {
        await this.#say(event);
        this.config.metrics.told((Date.now() - Date.parse(event.at)) / 1000);
      }
      this.#said = Math.max(this.#said, page.upTo);
      more = page.more;
    }
  }

  /** Every server reads the feed itself, so each tells only its own sockets. */
  async #say(event: FeedEvent): Promise<void> {
    const room = `room:${event.room}`;
    const blind = mayTell(event) ? [] : await this.#blindTo(event);
    this.#io?.local
      .to(room)
      .except(blind.map((id) => `account:${id}`))
      .emit('event', event);
    const told = blind.length > 0 ? asTold(event) : undefined;
    if (!told) return;
    for (const socket of this.#io?.sockets.sockets.values() ?? []) {
      if (socket.rooms.has(room) && blind.includes(socket.data.person.id)) socket.emit('event', told);
    }
  }

  /** Asked anew for every event that may tell of results: a session may have begun since the last one. */
  async #blindTo(event: FeedEvent): Promise<string[]> {
    const about = aboutOf(event);
    if (about.unitId === undefined && about.loanId === undefined) return [];
    return [...(await blindListeners(this.config.database.prisma, about))];
  }

  async #recheck(): Promise<void> {
    const sockets = [...(this.#io?.sockets.sockets.values() ?? [])];
    if (sockets.length === 0) return;
    for (const socket of sockets.filter(isFarBehind)) {
      this.config.metrics.slowSocketCut();
      cut(socket);
    }
    const hashes = [...new Set(sockets.map((socket) => socket.data.person.sessionHash))];
    const ofTokens = sockets.filter((socket) => socket.data.person.scopes !== undefined);
    try {
      const live = await this.config.database.pool.query<{ tokenHash: string }>({
        name: 'live-sessions',
        text: `select s."tokenHash" from "Session" s join "Account" a on a."id" = s."accountId"
               where s."tokenHash" = any($1) and s."expiresAt" > now() and a."disabledAt" is null`,
        values: [hashes],
      });
      const tokens =
        ofTokens.length === 0
          ? []
          : await this.tokens.live(ofTokens.map((socket) => socket.data.person.sessionHash));
      const known = new Set([...live.rows.map((row) => row.tokenHash), ...tokens]);
      for (const hash of hashes) if (!known.has(hash)) this.endSession(hash);
      await this.drafts.recheck();
    } catch (error) {
      this.config.report(error as Error, 'sessions');
    }
  }
}

/** A reader that stopped reading must not fill this server's memory. */
const MOST_UNSENT = 2000;
const MOST_UNSENT_BYTES = 8 * 1024 * 1024;

/** What the transport keeps for a client that does not take it; the library does not say it in its types. */
interface Unsent {
  readonly writeBuffer?: readonly unknown[];
  readonly transport: {
    readonly socket?: { readonly bufferedAmount?: number; terminate?(): void };
  };
}

function isFarBehind({ conn }: LiveSocket): boolean {
  const { writeBuffer, transport } = conn as unknown as Unsent;
  return (
    (writeBuffer?.length ?? 0) > MOST_UNSENT || (transport.socket?.bufferedAmount ?? 0) > MOST_UNSENT_BYTES
  );
}

/** Without a farewell, which would only be added to what is not read. The page comes back and asks from its number on. */
function cut(socket: LiveSocket): void {
  const { transport } = socket.conn as unknown as Unsent;
  if (transport.socket?.terminate) transport.socket.terminate();
  else socket.conn.close(true);
}

function tokenOf(socket: LiveSocket): string | undefined {
  const pairs = (socket.handshake.headers.cookie ?? '').split(/;\s*/);
  const valueOf = (name: string) => pairs.find((part) => part.startsWith(`${name}=`))?.slice(name.length + 1);
  // The one that is bound to this host goes before one that any page of a neighbouring host could have set.
  const value = valueOf(HOST_COOKIE) ?? valueOf(COOKIE);
  return value === undefined ? undefined : decodeURIComponent(value);
}
