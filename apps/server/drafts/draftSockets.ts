/**
 * Open drafts on this server's sockets. Every server is woken by the database, reads what is new of the drafts that
 * somebody has open here, and tells its own sockets: people on different servers write in one text.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { Server, Socket } from 'socket.io';
import { z } from 'zod';
import {
  DRAFT_MOST_BYTES,
  type DraftPresence,
  type DraftRefused,
  type SocketMessages,
  type SocketRequests,
} from '../../../libs/contracts/index.js';
import { DRAFT_CHANNEL, draftUpdatesAfter } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Drafts } from './drafts.js';

type LiveServer = Server<SocketRequests, SocketMessages, object, { person: SignedIn }>;
type LiveSocket = Socket<SocketRequests, SocketMessages, object, { person: SignedIn }>;

/** What a notice of the database may carry: 8000 bytes at most; a cursor needs far less. */
const PRESENCE_MOST_CHARACTERS = 4000;
const loan = z.object({ loanId: z.uuid() });
const bytes = z.instanceof(Uint8Array).refine((sent) => sent.length <= DRAFT_MOST_BYTES);
const OpenAsk = loan.extend({ vector: bytes });
const AddAsk = loan.extend({ update: bytes });
const position = z.record(z.string(), z.unknown()).nullable();
const PresenceAsk = loan.extend({
  selection: z.object({ anchor: position, head: position }).nullable(),
});

const roomOf = (loanId: string): string => `draft:${loanId}`;

/** How far this server has told its sockets about one draft. */
interface Telling {
  said: number;
  reading: boolean;
  again: boolean;
}

@Injectable()
export class DraftSockets {
  #io: LiveServer | undefined;
  readonly #telling = new Map<string, Telling>();

  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Drafts) private readonly drafts: Drafts,
  ) {}

  attach(io: LiveServer): void {
    this.#io = io;
  }

  greet(socket: LiveSocket): void {
    socket.on('draft-open', (ask, answer) => this.#answered(this.#open(socket, ask, answer), answer));
    socket.on('draft-add', (ask, answer) => this.#answered(this.#add(socket, ask, answer), answer));
    socket.on('draft-presence', (ask) => this.#answered(this.#presence(socket, ask)));
    socket.on('draft-leave', (ask) => this.#answered(this.#leave(socket, ask)));
    socket.on('disconnecting', () => {
      for (const loanId of loansOf(socket)) void this.#sayLeft(socket, loanId);
    });
  }

  /** A page that hears nothing waits long before it asks again: a fault is said, so that it asks soon. */
  #answered(work: Promise<void>, answer?: unknown): void {
    work.catch((error: Error) => {
      this.config.report(error, 'draft');
      if (typeof answer === 'function') answer(fault);
    });
  }

  /** The database says that something is new. */
  wake(about: string | undefined): void {
    if (about === undefined) for (const loanId of this.#telling.keys()) this.#tell(loanId);
    else if (about.startsWith('{')) this.#passPresence(about);
    else this.#tell(about);
  }

  /** Whoever may no longer read (a blind session has begun, the role has changed) is shown out. */
  async recheck(): Promise<void> {
    for (const socket of this.#io?.sockets.sockets.values() ?? []) {
      for (const loanId of loansOf(socket)) {
        const refused = await this.drafts.refusal(loanId, socket.data.person);
        if (refused) await this.#showOut(socket, loanId, refused);
      }
    }
  }

  async #open(socket: LiveSocket, sent: unknown, answer: unknown): Promise<void> {
    if (typeof answer !== 'function') return;
    const ask = OpenAsk.safeParse(sent);
    if (!ask.success) return void answer(unclear);
    const { loanId, vector } = ask.data;
    const refused = await this.drafts.refusal(loanId, socket.data.person);
    if (refused) return void answer(refused);
    // In the room before reading: what is said in between comes twice at worst, and merging twice is merging once.
    await socket.join(roomOf(loanId));
    const reply = await this.drafts.open(loanId, vector, socket.data.person);
    if (reply.ok) this.#tellFrom(loanId, reply.number);
    else await socket.leave(roomOf(loanId));
    answer(reply);
    if (reply.ok) this.#tell(loanId);
  }

  /** Whoever opened it with less than the others is told the rest; hearing something twice does no harm. */
  #tellFrom(loanId: string, number: number): void {
    const telling = this.#telling.get(loanId);
    if (telling) telling.said = Math.min(telling.said, number);
    else this.#telling.set(loanId, { said: number, reading: false, again: false });
  }

  async #add(socket: LiveSocket, sent: unknown, answer: unknown): Promise<void> {
    if (typeof answer !== 'function') return;
    const ask = AddAsk.safeParse(sent);
    answer(
      ask.success
        ? await this.drafts.add(ask.data.loanId, ask.data.update, socket.data.person)
        : { ...unclear, message: 'That is more than can be taken at once, or no update at all.' },
    );
  }

  async #leave(socket: LiveSocket, sent: unknown): Promise<void> {
    const ask = loan.safeParse(sent);
    if (!ask.success || !socket.rooms.has(roomOf(ask.data.loanId))) return;
    await socket.leave(roomOf(ask.data.loanId));
    await this.#sayLeft(socket, ask.data.loanId);
  }

  async #showOut(socket: LiveSocket, loanId: string, refused: DraftRefused): Promise<void> {
    const { code, message } = refused;
    await socket.leave(roomOf(loanId));
    socket.emit('draft-closed', { loanId, code, message });
    await this.#sayLeft(socket, loanId);
  }

  /** Never two readers of one draft at once, so the order holds. */
  #tell(loanId: string): void {
    const telling = this.#telling.get(loanId);
    if (!telling) return;
    if (telling.reading) {
      telling.again = true;
      return;
    }
    if ((this.#io?.sockets.adapter.rooms.get(roomOf(loanId))?.size ?? 0) === 0) {
      this.#telling.delete(loanId);
      return;
    }
    telling.reading = true;
    this.#sayNew(loanId, telling)
      .catch((error: Error) => this.config.report(error, 'draft'))
      .finally(() => {
        telling.reading = false;
        if (!telling.again) return;
        telling.again = false;
        this.#tell(loanId);
      });
  }

  async #sayNew(loanId: string, telling: Telling): Promise<void> {
    const { updates, draftVersion } = await draftUpdatesAfter(this.config.database, loanId, telling.said);
    const room = this.#io?.local.to(roomOf(loanId));
    for (const { number, update } of updates) {
      if (number > telling.said + 1) room?.emit('draft-again', { loanId });
      room?.emit('draft-news', { loanId, number, update, draftVersion });
      telling.said = number;
    }
  }

  async #presence(socket: LiveSocket, sent: unknown): Promise<void> {
    const ask = PresenceAsk.safeParse(sent);
    if (!ask.success || !socket.rooms.has(roomOf(ask.data.loanId))) return;
    await this.#sayPresence(socket, { ...ask.data, left: false });
  }

  async #sayLeft(socket: LiveSocket, loanId: string): Promise<void> {
    await this.#sayPresence(socket, { loanId, selection: null, left: true });
  }

  /** Through the database, so that it reaches people on other servers too. The name is ours to say, not the page's. */
  async #sayPresence(
    socket: LiveSocket,
    about: Pick<DraftPresence, 'loanId' | 'selection' | 'left'>,
  ): Promise<void> {
    const { id: personId, name } = socket.data.person;
    const presence: DraftPresence = { ...about, seat: socket.id, personId, name };
    const words = JSON.stringify(presence);
    if (words.length > PRESENCE_MOST_CHARACTERS) return;
    try {
      await this.config.database.pool.query('select pg_notify($1, $2)', [DRAFT_CHANNEL, words]);
    } catch (error) {
      this.config.report(error as Error, 'draft presence');
    }
  }

  #passPresence(words: string): void {
    const presence = JSON.parse(words) as DraftPresence;
    this.#io?.local.to(roomOf(presence.loanId)).emit('draft-presence', presence);
  }
}

const unclear: DraftRefused = { ok: false, code: 'invalid', message: 'Say which loan, and what is new.' };

const fault: DraftRefused = {
  ok: false,
  code: 'fault',
  message: 'The server could not answer; it is asked again.',
};

const loansOf = (socket: LiveSocket): string[] =>
  [...socket.rooms].flatMap((room) => (room.startsWith('draft:') ? [room.slice('draft:'.length)] : []));
