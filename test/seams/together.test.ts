/** Writing in one text: over two servers, on both back ends, nothing lost; comments, sign-offs, private previews. */
import { io, type Socket } from 'socket.io-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import type { DraftKept, DraftNews, DraftOpened, PreviewPart } from '../../libs/contracts/index.js';
import { anchorAt, textIn, textOf } from '../../libs/drafts/index.js';
import { backEnds, makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { openTables, startSecond } from './secondServer.js';
import { join, makeUnit, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

describe.each(backEnds)('writing together on %s', (backEnd) => {
  let installation: Installation;
  let first: RunningInstallation;
  let second: RunningInstallation;
  let ida: Visitor;
  let bo: Visitor;
  let boElsewhere: Visitor;
  let loanId: string;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    first = await installation.start();
    ida = await setUpOwner(first.url);
    bo = await join(ida, 'cohost', 'Bo Lind');
    second = await startSecond(installation, { SOJOURN_ROLE: 'api' });
    boElsewhere = visit(second.url, bo.cookie());
    loanId = (await makeUnit(ida)).loan.id;
  });
  afterAll(() => installation.remove());

  const verdict = async () => (await ida.client.loan(loanId)).verdict;

  it('begins with what was written before, once, whoever opens it first', async () => {
    const tables = await openTables(installation);
    await tables.prisma.verdict.create({ data: { loanId, text: 'Before.\n' } });
    await tables.close();
    const desks = await Promise.all([ida, bo, boElsewhere].map((visitor) => Desk.open(visitor, loanId)));
    for (const desk of desks) expect(desk.text).toBe('Before.\n');
    desks.forEach((desk) => desk.leave());
  });

  it('merges what three desks on two servers write at once, also while one was away', async () => {
    const desks = await Promise.all([ida, bo, boElsewhere].map((visitor) => Desk.open(visitor, loanId)));
    const [one, two, three] = desks as [Desk, Desk, Desk];
    three.cut();
    const random = seeded(backEnd.length);
    const written: string[] = [];
    for (let round = 0; round < 40; round++) {
      const desk = [one, two, three][round % 3] ?? one;
      const word = `<${round}>`;
      written.push(word);
      desk.edit((text) => text.insert(Math.floor(random() * (text.length + 1)), word));
      if (round % 10 === 9) one.edit((text) => text.delete(text.toJSON().search(/[a-z.]/i), 1));
    }
    await three.mend(boElsewhere);
    for (const desk of desks) await desk.allSent();
    await waitFor(
      () => (one.text === two.text && two.text === three.text ? true : undefined),
      'three equal texts',
    );
    expect((await verdict()).text).toBe(one.text);
    // Every word came whole but for those that another landed in: all their letters are there.
    const letters = (words: string) =>
      words
        .split('')
        .filter((letter) => /[0-9]/.test(letter))
        .toSorted()
        .join('');
    expect(letters(one.text)).toBe(letters(written.join('')));
    desks.forEach((desk) => desk.leave());
    const late = await Desk.open(boElsewhere, loanId);
    expect(late.text).toBe(one.text);
    late.leave();
  });

  it('folds updates away and still tells who was far behind', async () => {
    const desk = await Desk.open(ida, loanId);
    const behind = await Desk.open(bo, loanId);
    behind.cut();
    for (let round = 0; round < 150; round++) {
      desk.edit((text) => text.insert(text.length, 'x'));
      await desk.allSent();
    }
    await behind.mend(bo);
    await waitFor(() => (behind.text === desk.text ? true : undefined), 'the same text');
    const tables = await openTables(installation);
    expect(await tables.prisma.draftUpdate.count({ where: { loanId } })).toBeLessThanOrEqual(2 * 64);
    await tables.close();
    desk.leave();
    behind.leave();
  });

  it('keeps nothing of nonsense, and counts nothing twice', async () => {
    const desk = await Desk.open(ida, loanId);
    const before = await verdict();
    expect(await desk.send(new Uint8Array([1, 2, 3, 250]))).toMatchObject({ ok: false, code: 'invalid' });
    const far = new Y.Doc();
    textIn(far).insert(0, 'a');
    const vector = Y.encodeStateVector(far);
    textIn(far).insert(1, 'b');
    const dangling = Y.encodeStateAsUpdate(far, vector);
    expect(await desk.send(dangling)).toMatchObject({ ok: false, code: 'again' });
    expect(await desk.send(Y.encodeStateAsUpdate(desk.document))).toMatchObject({
      ok: true,
      draftVersion: before.draftVersion,
    });
    expect(await verdict()).toEqual(before);
    desk.leave();
  });

  it('is open to members alone, and to nobody whose session ended', async () => {
    const viewer = await join(ida, 'viewer', `Vi ${backEnd}`);
    expect((await Desk.try(viewer, loanId)).code).toBe('forbidden');
    expect((await Desk.try(ida, '00000000-0000-4000-8000-000000000000')).code).toBe('not-found');
    const editor = await join(ida, 'editor', `Ed ${backEnd}`);
    const desk = await Desk.open(editor, loanId);
    const gone = new Promise((resolve) => desk.socket.once('disconnect', resolve));
    const person = (await ida.client.people()).find(({ name }) => name === `Ed ${backEnd}`);
    await ida.client.changePerson(person?.id ?? '', { version: person?.version ?? 0, disabled: true });
    await gone;
    desk.leave();
  });

  it('shows who begins to listen blind out of the draft, and lets them in again when they seal', async () => {
    const unit = await ida.client.addUnit(loanId, { name: 'Heron 4', kind: 'standmount' });
    const desk = await Desk.open(boElsewhere, loanId);
    const closed = new Promise((resolve) => desk.socket.once('draft-closed', resolve));
    const session = await bo.client.addListening(unit.id, { heardOn: '2031-01-01' });
    expect(await closed).toMatchObject({ loanId, code: 'blind' });
    expect(await desk.send(Y.encodeStateAsUpdate(desk.document))).toMatchObject({ code: 'blind' });
    expect((await refusalOf(bo.client.draftComments(loanId))).status).toBe(403);
    expect((await refusalOf(bo.client.previews(loanId))).status).toBe(403);
    expect((await bo.fetch(`/api/loans/${loanId}/draft/review.html`)).status).toBe(403);
    await bo.client.sealListening(session.id, { version: session.version });
    (await Desk.open(boElsewhere, loanId)).leave();
    desk.leave();
  });

  it('voids a sign-off by the next word, and takes none for words that were not read', async () => {
    const seen = await verdict();
    await bo.client.signOff(loanId, asks(seen, 'approve'));
    expect((await verdict()).signOffs.map(({ stands }) => stands)).toEqual([true]);
    const desk = await Desk.open(boElsewhere, loanId);
    desk.edit((text) => text.insert(0, 'One more word. '));
    await desk.allSent();
    expect((await verdict()).signOffs.map(({ stands }) => stands)).toEqual([false]);
    const stale = await refusalOf(bo.client.signOff(loanId, asks(seen, 'approve')));
    expect(stale.status).toBe(409);
    const now = await verdict();
    await bo.client.signOff(loanId, asks(now, 'approve'));
    await ida.client.changeVerdict(loanId, { version: now.version, pros: ['Even'] });
    expect((await verdict()).signOffs.every(({ stands }) => !stands)).toBe(true);
    expect(
      (await refusalOf(ida.client.signOff(loanId, asks(await verdict(), 'request-changes', '')))).status,
    ).toBe(422);
    desk.leave();
  });

  it('replaces the text as seen, and refuses to on another one', async () => {
    const seen = await verdict();
    const refused = await refusalOf(
      ida.client.changeVerdict(loanId, { version: seen.version, text: 'x', draftVersion: 0 }),
    );
    expect(refused.status).toBe(409);
    const text = 'The bass is lean. The treble is even.\n';
    await ida.client.changeVerdict(loanId, { version: seen.version, text, draftVersion: seen.draftVersion });
    const desk = await Desk.open(boElsewhere, loanId);
    expect(desk.text).toBe(text);
    desk.leave();
  });

  it('holds a comment to its words while the text moves, and exchanges them once', async () => {
    const desk = await Desk.open(bo, loanId);
    const quote = 'lean';
    const at = desk.text.indexOf(quote);
    const anchor = anchorAt(textIn(desk.document), at, at + quote.length);
    const ask = { quote, anchor, body: 'Too short a word?', replacement: 'a little lean' };
    const person = (await bo.client.draftComments(loanId)).people.find(({ name }) => name === 'Ida Rask');
    const { comments } = await bo.client.addDraftComment(loanId, { ...ask, mentions: [person?.id ?? ''] });
    const comment = comments.at(-1);
    const mentioned = (await ida.client.dashboard()).needs.filter(({ sentence }) =>
      sentence.includes('mentioned you'),
    );
    expect(mentioned).toHaveLength(1);
    desk.edit((text) => text.insert(0, 'In short: '));
    await desk.allSent();
    const decide = { version: comment?.version ?? 0, accept: true };
    const both = await Promise.allSettled([
      ida.client.decideSuggestion(loanId, comment?.id ?? '', decide),
      boElsewhere.client.decideSuggestion(loanId, comment?.id ?? '', decide),
    ]);
    expect(both.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
    await waitFor(
      () => (desk.text.startsWith('In short: The bass is a little lean.') ? true : undefined),
      'the new words',
    );
    const again = await ida.client.addDraftComment(loanId, {
      ...ask,
      anchor: anchorAt(textIn(desk.document), 0, 8),
      quote: 'In short',
    });
    desk.edit((text) => text.delete(0, 3));
    await desk.allSent();
    const changed = await refusalOf(
      ida.client.decideSuggestion(loanId, again.comments.at(-1)?.id ?? '', { version: 1, accept: true }),
    );
    expect(changed.refusal.code).toBe('words-changed');
    const whose = await refusalOf(
      ida.client.changeDraftComment(loanId, comment?.id ?? '', { version: 2, body: 'Not mine' }),
    );
    expect(whose.status).toBe(403);
    expect(
      (await ida.client.dashboard()).needs.some(({ sentence }) => sentence.includes('mentioned you')),
    ).toBe(false);
    desk.leave();
  });

  describe('a private preview', () => {
    const stranger = () => visit(first.url).client;
    const visitor = 'a-mark-of-my-own-0001';

    it('shows what is not hidden to whoever has its address, and counts a view once', async () => {
      const was = await verdict();
      await ida.client.changeVerdict(loanId, {
        version: was.version,
        pros: [{ text: 'Even treble', evidence: 'heard by both' }],
        cons: [{ text: 'Lean bass', evidence: 'f6 at 61 Hz' }],
        suggestions: [{ about: 'placement', text: 'Near a wall' }],
      });
      const hidden: PreviewPart[] = ['pros-cons', 'findings'];
      const made = await ida.client.addPreview(loanId, { name: 'The maker’s cousin', hidden });
      const token = tokenOf(made.link);
      const seen = await stranger().lookAtPreview({ token, visitor });
      expect(seen).toMatchObject({ title: 'Heron 3', vote: null });
      expect(JSON.stringify(seen)).toContain('a little lean');
      expect(JSON.stringify(seen)).toContain('Near a wall');
      expect(JSON.stringify(seen)).not.toMatch(/Even treble|Lean bass|61 Hz|heard by both/);
      await stranger().previewStill({ token, visitor });
      await stranger().lookAtPreview({ token, visitor, again: true });
      const [link] = (await ida.client.previews(loanId)).links;
      expect(link).toMatchObject({ views: 1, state: 'open', name: 'The maker’s cousin' });
      expect(JSON.stringify(link)).not.toContain(token);
      const tables = await openTables(installation);
      const rows = await tables.prisma.previewLink.findMany();
      expect(JSON.stringify(rows)).not.toContain(token);
      await tables.close();
      expect(first.output()).not.toContain(token);
      const answer = await visit(first.url).fetch('/api/previews/look', posted({ token, visitor }));
      expect(answer.headers.get('cache-control')).toBe('no-store');
      expect(answer.headers.get('x-robots-tag')).toContain('noindex');
      expect(answer.headers.get('referrer-policy')).toBe('no-referrer');
    });

    it('takes one vote a visitor, changeable, and comments that are answered', async () => {
      const token = tokenOf((await ida.client.addPreview(loanId, {})).link);
      await stranger().voteOnPreview({ token, visitor, publish: false, name: 'Una' });
      await stranger().voteOnPreview({ token, visitor, publish: true, name: 'Una' });
      await stranger().voteOnPreview({ token, visitor: 'another-mark-0000002', publish: false });
      const said = await stranger().commentOnPreview({ token, visitor, body: '<b>Fine</b>', name: 'Una' });
      expect(said.vote).toBe(true);
      const [link] = (await bo.client.previews(loanId)).links;
      expect(link?.votes).toMatchObject({ publish: 1, dont: 1 });
      const comment = link?.comments[0];
      expect(comment).toMatchObject({ body: '<b>Fine</b>', name: 'Una' });
      await bo.client.answerPreviewComment(loanId, comment?.id ?? '', { version: 1, answer: 'Thank you.' });
      expect((await stranger().lookAtPreview({ token, visitor })).comments[0]?.answer).toBe('Thank you.');
      expect((await stranger().lookAtPreview({ token, visitor: 'another-mark-0000002' })).comments).toEqual(
        [],
      );
    });

    it('answers alike when it is unknown, over or taken back, from the moment it is', async () => {
      const taken = await ida.client.addPreview(loanId, {});
      const over = await ida.client.addPreview(loanId, {});
      await ida.client.changePreview(loanId, taken.id, { version: taken.version, revoked: true });
      const tables = await openTables(installation);
      await tables.prisma.previewLink.update({ where: { id: over.id }, data: { expiresAt: new Date(0) } });
      await tables.close();
      const tokens = [tokenOf(taken.link), tokenOf(over.link), 'nobody-ever-made-this-one-0000000000000000'];
      const answers: unknown[] = [];
      for (const token of tokens) {
        for (const [path, more] of [
          ['look', {}],
          ['still', {}],
          ['vote', { publish: true }],
          ['comment', { body: 'x' }],
        ] as const) {
          const answer = await visit(first.url).fetch(
            `/api/previews/${path}`,
            posted({ token, visitor, ...more }),
          );
          answers.push([answer.status, await answer.json()]);
        }
      }
      expect(new Set(answers.map((answer) => JSON.stringify(answer))).size).toBe(1);
      expect(answers[0]).toMatchObject([404, { code: 'preview-not-open' }]);
    });

    it('is the maker’s comment round where the terms agree one, and publication waits for its end', async () => {
      expect((await refusalOf(ida.client.addPreview(loanId, { kind: 'maker' }))).refusal.code).toBe(
        'no-comment-round',
      );
      const loan = await ida.client.loan(loanId);
      await ida.client.changeLoan(loanId, { version: loan.version, makerMayComment: true });
      const tables = await openTables(installation);
      await tables.prisma.loan.update({ where: { id: loanId }, data: { stage: 'drafting' } });
      await tables.close();
      const round = async () => {
        const { moves } = await ida.client.loan(loanId);
        const offer = moves.find(({ to }) => to === 'published');
        return offer?.conditions.find(({ code }) => code === 'maker-round-over')?.met;
      };
      expect(await round()).toBe(false);
      const made = await ida.client.addPreview(loanId, { kind: 'maker', daysValid: 5 });
      const token = tokenOf(made.link);
      await stranger().commentOnPreview({ token, visitor, body: 'The price is 900.' });
      expect(await round()).toBe(false);
      await ida.client.changePreview(loanId, made.id, { version: made.version, closed: true });
      expect(await round()).toBe(true);
      expect((await ida.client.previews(loanId)).makerRound).toBe('over');
      expect(
        (await refusalOf(stranger().commentOnPreview({ token, visitor, body: 'One more' }))).refusal.code,
      ).toBe('round-closed');
      expect((await stranger().lookAtPreview({ token, visitor })).closed).toBe(true);
    });

    it('limits how much one may write and guess', async () => {
      const token = tokenOf((await ida.client.addPreview(loanId, {})).link);
      const statuses: number[] = [];
      for (let round = 0; round < 25; round++) {
        const answer = await visit(first.url).fetch(
          '/api/previews/vote',
          posted({ token, visitor, publish: true }),
        );
        statuses.push(answer.status);
      }
      expect(statuses[0]).toBe(200);
      expect(statuses.at(-1)).toBe(429);
    });
  });

  it('leaves the house as one page and as Markdown that can do nothing', async () => {
    const html = await ida.fetch(`/api/loans/${loanId}/draft/review.html`);
    expect(html.headers.get('content-disposition')).toContain('attachment');
    const page = await html.text();
    expect(page).toContain('a little lean');
    expect(page).not.toContain('<script');
    const zip = new Uint8Array(
      await (await ida.fetch(`/api/loans/${loanId}/draft/review.zip`)).arrayBuffer(),
    );
    expect(new TextDecoder().decode(zip.slice(0, 2))).toBe('PK');
  });

  it('keeps the order the team sets, and a loan’s own before it', async () => {
    const house = await ida.client.draftHouse();
    const turned = house.outline.toReversed();
    await ida.client.changeDraftHouse({ version: house.version, outline: turned, wordsPerMinute: 140 });
    expect((await refusalOf(bo.client.changeDraftHouse({ version: 0, outline: null }))).status).toBe(409);
    expect(await verdict()).toMatchObject({ outline: turned, ownOutline: false, wordsPerMinute: 140 });
    const { version } = await verdict();
    const own = turned.slice(0, 3);
    await ida.client.changeVerdict(loanId, { version, outline: own });
    expect(await verdict()).toMatchObject({ outline: own, ownOutline: true });
  });
});

const posted = (body: object): RequestInit => ({
  method: 'POST',
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(body),
});
const tokenOf = (link = ''): string => link.slice(link.indexOf('#') + 1);
const asks = (
  seen: { version: number; draftVersion: number },
  decision: 'approve' | 'request-changes',
  note = 'Read it all.',
) => ({ verdictVersion: seen.version, draftVersion: seen.draftVersion, decision, note });

/** A small generator, so that a failure comes again. */
function seeded(seed: number): () => number {
  let state = seed + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

function insist(reply: DraftOpened | DraftKept): void {
  if (!reply.ok) throw new Error(reply.message);
}

/** Somebody writing: a document of their own, a socket, and what has not been sent yet. */
class Desk {
  readonly document = new Y.Doc();
  #pending: Promise<unknown> = Promise.resolve();
  #cut = false;
  socket: Socket;

  private constructor(
    visitor: Visitor,
    readonly loanId: string,
  ) {
    this.socket = this.#connect(visitor);
    this.document.on('update', (update: Uint8Array, origin: unknown) => {
      if (origin === 'server' || this.#cut) return;
      this.#pending = this.#pending.then(async () => insist(await this.send(update)));
    });
  }

  static async open(visitor: Visitor, loanId: string): Promise<Desk> {
    const desk = new Desk(visitor, loanId);
    insist(await desk.#ask());
    return desk;
  }
  static async try(visitor: Visitor, loanId: string): Promise<{ code: string }> {
    const desk = new Desk(visitor, loanId);
    const reply = await desk.#ask();
    desk.leave();
    return { code: reply.ok ? 'let in' : reply.code };
  }

  get text(): string {
    return textOf(this.document);
  }
  edit(change: (text: Y.Text) => void): void {
    this.document.transact(() => change(textIn(this.document)));
  }
  async send(update: Uint8Array): Promise<DraftKept> {
    return (await this.socket.emitWithAck('draft-add', { loanId: this.loanId, update })) as DraftKept;
  }
  async allSent(): Promise<void> {
    await this.#pending;
  }
  cut(): void {
    this.#cut = true;
    this.socket.disconnect();
  }
  async mend(visitor: Visitor): Promise<void> {
    this.socket = this.#connect(visitor);
    this.#cut = false;
    const reply = await this.#ask();
    if (!reply.ok) throw new Error(reply.message);
    insist(await this.send(Y.encodeStateAsUpdate(this.document, new Uint8Array(reply.vector))));
  }
  leave(): void {
    this.socket.disconnect();
  }

  #connect(visitor: Visitor): Socket {
    const socket = io(visitor.url, {
      path: '/api/socket',
      extraHeaders: { cookie: visitor.cookie() },
      forceNew: true,
      transports: ['websocket'],
    });
    socket.on('draft-news', ({ update }: DraftNews) =>
      Y.applyUpdate(this.document, new Uint8Array(update), 'server'),
    );
    socket.on('draft-again', () => void this.#ask());
    return socket;
  }
  async #ask(): Promise<DraftOpened> {
    const { loanId } = this;
    const vector = Y.encodeStateVector(this.document);
    const reply = (await this.socket.emitWithAck('draft-open', { loanId, vector })) as DraftOpened;
    if (reply.ok) Y.applyUpdate(this.document, new Uint8Array(reply.update), 'server');
    return reply;
  }
}
