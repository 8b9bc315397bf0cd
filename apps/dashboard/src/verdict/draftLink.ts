/**
 * The page's copy of a draft and its way to the server. What is written goes out in small parcels, each confirmed
 * after it is kept; without a network it stays in this browser and is merged when the way is open again.
 */
import * as Y from 'yjs';
import { textIn } from '../../../../libs/drafts/index.js';
import type { DraftNews, DraftPresence } from '../contracts.js';
import type { LiveSocket } from '../live/socket.js';
import { KeptDraft } from './keptDrafts.js';

export type DraftState =
  'opening' | 'saved' | 'saving' | 'kept-here' | 'not-kept' | 'too-long' | 'refused' | 'closed';
export interface DraftLinkView {
  readonly state: DraftState;
  /** Why it is closed or refused. */
  readonly message: string;
  /** The words may be changed: they were read from the server, or from this browser. */
  readonly ready: boolean;
  readonly draftVersion: number | null;
}

const PARCEL_MS = 120;
const ANSWER_WITHIN_MS = 10_000;
const TRY_AGAIN_MS = 2000;
const FROM_SERVER = 'server';

export class DraftLink {
  readonly document = new Y.Doc();
  readonly text = textIn(this.document);
  readonly #loanId: string;
  readonly #socket: LiveSocket;
  readonly #kept: KeptDraft;
  readonly #listeners = new Set<() => void>();
  readonly #presenceListeners = new Set<(presence: DraftPresence | null) => void>();
  #view: DraftLinkView = { state: 'opening', message: '', ready: false, draftVersion: null };
  #unsent: Uint8Array[] = [];
  #sending = false;
  #open = false;
  #opening = false;
  #number = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #left = false;
  #where: DraftPresence['selection'] = null;
  #storeFailed = false;

  constructor(loanId: string, personId: string, socket: LiveSocket) {
    this.#loanId = loanId;
    this.#socket = socket;
    this.#kept = new KeptDraft(personId, loanId, String(this.document.clientID));
    this.document.on('update', this.#written);
    socket.on('connect', this.#connected);
    socket.on('disconnect', this.#cut);
    socket.on('draft-news', this.#news);
    socket.on('draft-again', this.#again);
    socket.on('draft-closed', this.#closed);
    socket.on('draft-presence', this.#presence);
    void this.#begin();
  }

  readonly view = (): DraftLinkView => this.#view;
  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => void this.#listeners.delete(listener);
  };
  /** @param listener hears null when the way is cut and nobody is known to be here any more */
  onPresence(listener: (presence: DraftPresence | null) => void): () => void {
    this.#presenceListeners.add(listener);
    return () => void this.#presenceListeners.delete(listener);
  }
  get seat(): string | undefined {
    return this.#socket.id;
  }

  sayHere(): void {
    this.sayWhere(this.#where);
  }
  sayWhere(selection: DraftPresence['selection']): void {
    this.#where = selection;
    if (this.#open) this.#socket.emit('draft-presence', { loanId: this.#loanId, selection });
  }

  /** What is on its way still arrives, or stays in this browser. */
  leave(): void {
    if (this.#unsent.length > 0) void this.#send();
    this.#left = true;
    clearTimeout(this.#timer);
    this.document.off('update', this.#written);
    this.#socket.off('connect', this.#connected);
    this.#socket.off('disconnect', this.#cut);
    this.#socket.off('draft-news', this.#news);
    this.#socket.off('draft-again', this.#again);
    this.#socket.off('draft-closed', this.#closed);
    this.#socket.off('draft-presence', this.#presence);
    if (this.#socket.connected) this.#socket.emit('draft-leave', { loanId: this.#loanId });
  }

  async #begin(): Promise<void> {
    try {
      const left = await this.#kept.read();
      if (left && !this.#left) {
        Y.applyUpdate(this.document, left, FROM_SERVER);
        this.#unsent.push(left);
        this.#say({ ready: true, state: 'kept-here' });
      }
    } catch (error) {
      console.info('This browser keeps no drafts:', error);
      this.#storeFailed = true;
    }
    if (this.#socket.connected) this.#connected();
  }

  readonly #written = (update: Uint8Array, origin: unknown): void => {
    if (origin === FROM_SERVER) return;
    this.#unsent.push(update);
    this.#kept.keep(this.document).catch((error: unknown) => {
      console.info('This browser keeps no drafts:', error);
      this.#storeFailed = true;
      this.#say({});
    });
    this.#say({ state: this.#open ? 'saving' : 'kept-here' });
    this.#soon(PARCEL_MS);
  };

  readonly #connected = (): void => void this.#openIt();
  readonly #again = ({ loanId }: { loanId: string }): void => {
    if (loanId === this.#loanId) void this.#openIt();
  };
  readonly #cut = (): void => {
    this.#open = false;
    for (const listener of this.#presenceListeners) listener(null);
    if (this.#view.state !== 'closed' && this.#view.state !== 'opening') this.#say({ state: 'kept-here' });
  };

  async #openIt(): Promise<void> {
    if (this.#opening || this.#left || this.#view.state === 'closed') return;
    this.#opening = true;
    try {
      const vector = Y.encodeStateVector(this.document);
      const reply = await this.#socket
        .timeout(ANSWER_WITHIN_MS)
        .emitWithAck('draft-open', { loanId: this.#loanId, vector });
      if (this.#left) return;
      if (!reply.ok) return this.#notOpened(reply.code, reply.message);
      Y.applyUpdate(this.document, asBytes(reply.update), FROM_SERVER);
      this.#open = true;
      this.#number = Math.max(this.#number, reply.number);
      // Whatever the server lacks, whether or not it was on its way before.
      if (this.#unsent.length > 0)
        this.#unsent = [Y.encodeStateAsUpdate(this.document, asBytes(reply.vector))];
      this.#say({
        ready: true,
        draftVersion: reply.draftVersion,
        state: this.#unsent.length > 0 ? 'saving' : 'saved',
      });
      this.sayHere();
      void this.#send();
    } catch {
      // No answer: the network is away, or slow.
      if (!this.#left && this.#socket.connected) setTimeout(() => void this.#openIt(), TRY_AGAIN_MS);
    } finally {
      this.#opening = false;
    }
  }

  #notOpened(code: string, message: string): void {
    if (code === 'fault') setTimeout(() => void this.#openIt(), TRY_AGAIN_MS);
    else this.#shut(message);
  }

  readonly #closed = (about: { loanId: string; message: string }): void => {
    if (about.loanId === this.#loanId) this.#shut(about.message);
  };

  /** What one may not read any more does not stay on the device either. */
  #shut(message: string): void {
    this.#open = false;
    this.#unsent = [];
    clearTimeout(this.#timer);
    void this.#kept.forget().catch((error: unknown) => console.info('Nothing to forget:', error));
    this.#say({ state: 'closed', message, ready: false });
  }

  readonly #news = ({ loanId, number, update, draftVersion }: DraftNews): void => {
    if (loanId !== this.#loanId) return;
    Y.applyUpdate(this.document, asBytes(update), FROM_SERVER);
    if (number > this.#number + 1) void this.#openIt();
    this.#number = Math.max(this.#number, number);
    this.#say({ draftVersion: Math.max(this.#view.draftVersion ?? 0, draftVersion) });
  };

  readonly #presence = (presence: DraftPresence): void => {
    if (presence.loanId !== this.#loanId || presence.seat === this.#socket.id) return;
    for (const listener of this.#presenceListeners) listener(presence);
  };

  #soon(ms: number): void {
    if (this.#left) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#send(), ms);
  }

  async #send(): Promise<void> {
    if (!this.#open || this.#sending || this.#unsent.length === 0) return;
    // A list of its own: what is written while the parcel is on its way is not confirmed with it.
    const parcel = [...this.#unsent];
    this.#sending = true;
    const reply = await this.#socket
      .timeout(ANSWER_WITHIN_MS)
      .emitWithAck('draft-add', { loanId: this.#loanId, update: Y.mergeUpdates(parcel) })
      .catch(() => undefined);
    this.#sending = false;
    if (!reply) return this.#soon(TRY_AGAIN_MS);
    if (!reply.ok) return this.#notKept(reply.code, reply.message);
    this.#unsent = this.#unsent.filter((each) => !parcel.includes(each));
    this.#say({ draftVersion: Math.max(this.#view.draftVersion ?? 0, reply.draftVersion) });
    if (this.#unsent.length === 0) this.#allKept();
    else void this.#send();
  }

  #allKept(): void {
    this.#say({ state: 'saved', message: '' });
    void this.#kept.forget().catch((error: unknown) => console.info('Nothing to forget:', error));
  }

  #notKept(code: string, message: string): void {
    if (code === 'fault') this.#soon(TRY_AGAIN_MS);
    else if (code === 'again') void this.#openIt();
    else if (code === 'too-long') this.#say({ state: 'too-long', message });
    else if (code === 'invalid') this.#say({ state: 'refused', message });
    else this.#shut(message);
  }

  #say(change: Partial<DraftLinkView>): void {
    const next = { ...this.#view, ...change };
    const nowhere = next.state === 'kept-here' && this.#storeFailed && this.#unsent.length > 0;
    this.#view = nowhere ? { ...next, state: 'not-kept' } : next;
    for (const listener of this.#listeners) listener();
  }
}

const asBytes = (sent: Uint8Array | ArrayBuffer): Uint8Array => new Uint8Array(sent);
