/**
 * Listening sessions: kept as their authors' devices send them, sealed, given up, added to.
 *
 * A device sends the whole session with the version it was written on and a count of its own. What the device that
 * wrote last sends again changes nothing, and what it goes on to write follows, even if an answer was lost on the way;
 * from any other device a write on an older version is refused with both versions.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddAfterSeal,
  AddListening,
  ChangeListening,
  KeepListening,
  ListeningView,
  SealListening,
} from '../../../libs/contracts/index.js';
import {
  change,
  hashOfText,
  json,
  sealedTextOf,
  StaleVersion,
  toDay,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { isBlindSoFar, loadListening, presentListening } from './listeningRows.js';
import { tellListening } from './tellListening.js';

type Kept = z.output<typeof KeepListening>;

@Injectable()
export class ListeningSessions {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async add(unitId: string, ask: z.output<typeof AddListening>, by: SignedIn): Promise<ListeningView> {
    const id = await change(this.config.database, by, async (made) => {
      const { heardOn, remarks, ...fields } = ask;
      return begin(made, by, unitId, { ...fields, heardOn: toDay(heardOn), remarks: json(remarks) });
    });
    return this.#view(id);
  }

  async keep(id: string, ask: Kept, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      // Two sends of one session at once: the second waits here, and then sees the first.
      await made.tx.$executeRaw`select pg_advisory_xact_lock(hashtextextended(${`listening:${id}`}, 0))`;
      const found = await made.tx.listeningSession.findUnique({ where: { id }, include: { unit: true } });
      const { unitId, version, device, write, begunAt, heardOn, remarks, ...fields } = ask;
      const row = {
        ...fields,
        heardOn: toDay(heardOn),
        remarks: json(remarks),
        lastDevice: device,
        lastWrite: write,
      };
      if (!found) {
        await begin(made, by, unitId, { ...row, id, begunAt: new Date(begunAt) });
        return;
      }
      refuseUnlessOwn(found, by);
      if (found.lastDevice === device && write <= found.lastWrite) return;
      refuseSealed(found);
      if (found.lastDevice !== device && found.version !== version) await refuseStale(made, id);
      await writeVersion(made.tx.listeningSession, id, found.version, row);
      await tellListening(made, found.unit, 'listening-changed', `wrote down remarks on ${found.unit.name}`);
    });
    return this.#view(id);
  }

  async change(id: string, ask: z.output<typeof ChangeListening>, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await ownOpenSession(made, id, by);
      const { version, heardOn, ...fields } = ask;
      const data = {
        ...fields,
        ...(heardOn === undefined ? {} : { heardOn: toDay(heardOn) }),
        lastDevice: null,
      };
      if (session.version !== version) await refuseStale(made, id);
      await writeVersion(made.tx.listeningSession, id, version, data);
      await tellListening(
        made,
        session.unit,
        'listening-changed',
        `wrote down remarks on ${session.unit.name}`,
      );
    });
    return this.#view(id);
  }

  /** Hashes what was written, with its time. Blind when its author had not opened the unit's data before. */
  async seal(id: string, ask: z.output<typeof SealListening>, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await ownOpenSession(made, id, by);
      if (session.version !== ask.version) await refuseStale(made, id);
      const opened = await openingOf(made, session.unitId, by.id);
      const blind = isBlindSoFar(session) && opened === null;
      const sealedAt = new Date();
      const sealedText = sealedTextOf(
        { ...session, begunAt: session.begunAt ?? session.createdAt },
        { listenerName: by.name, unitName: session.unit.name, blind, sealedAt },
      );
      await writeVersion(made.tx.listeningSession, id, ask.version, {
        begunAt: session.begunAt ?? session.createdAt,
        sealedAt,
        sealedText,
        sealHash: hashOfText(sealedText),
        blind,
      });
      const sentence = `sealed a listening session on ${session.unit.name} (${blind ? 'blind' : 'not blind'})`;
      await tellListening(made, session.unit, 'listening-sealed', sentence);
    });
    return this.#view(id);
  }

  /** For all of the person's open sessions of the unit: there is no seeing the data for one of them only. */
  async giveUp(id: string, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await ownOpenSession(made, id, by);
      const given = await made.tx.listeningSession.updateMany({
        where: {
          unitId: session.unitId,
          listenerId: by.id,
          sealedAt: null,
          begunBlind: true,
          givenUpAt: null,
        },
        data: { givenUpAt: new Date(), version: { increment: 1 } },
      });
      if (given.count === 0) return;
      const sentence = `gave up listening to ${session.unit.name} blind, to see its data`;
      await tellListening(made, session.unit, 'listening-given-up', sentence);
    });
    return this.#view(id);
  }

  async addAfter(id: string, ask: z.output<typeof AddAfterSeal>, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await ownSession(made, id, by);
      if (session.sealedAt === null) {
        throw refuse.wrong('not-sealed', 'This session is still open.', 'Write in the session itself.');
      }
      const added = await made.tx.listeningAddition.createMany({
        data: [{ id: ask.id, sessionId: id, remark: json(ask.remark) }],
        skipDuplicates: true,
      });
      if (added.count === 0) return;
      const sentence = `added to a sealed listening session on ${session.unit.name}`;
      await tellListening(made, session.unit, 'listening-added-to', sentence);
    });
    return this.#view(id);
  }

  async #view(id: string): Promise<ListeningView> {
    const [session] = await loadListening(this.config.database.prisma, { id });
    if (!session) throw refuse.notFound('listening session');
    return presentListening(session);
  }
}

async function begin(
  made: Change,
  by: SignedIn,
  unitId: string,
  row: { heardOn: Date; remarks: ReturnType<typeof json>; id?: string; begunAt?: Date },
): Promise<string> {
  const unit = await made.tx.unit.findUnique({ where: { id: unitId } });
  if (!unit) throw refuse.notFound('unit');
  const begunBlind = (await openingOf(made, unitId, by.id)) === null;
  const session = await made.tx.listeningSession.create({
    data: { begunAt: new Date(), ...row, unitId, listenerId: by.id, begunBlind },
  });
  await tellListening(made, unit, 'listening-begun', `began a listening session on ${unit.name}`);
  return session.id;
}

const openingOf = (made: Change, unitId: string, accountId: string) =>
  made.tx.dataOpening.findUnique({ where: { unitId_accountId: { unitId, accountId } } });

async function ownSession(made: Change, id: string, by: SignedIn) {
  const session = await made.tx.listeningSession.findUnique({ where: { id }, include: { unit: true } });
  if (!session) throw refuse.notFound('listening session');
  refuseUnlessOwn(session, by);
  return session;
}

async function ownOpenSession(made: Change, id: string, by: SignedIn) {
  const session = await ownSession(made, id, by);
  refuseSealed(session);
  return session;
}

function refuseUnlessOwn({ listenerId }: { listenerId: string }, by: SignedIn): void {
  if (listenerId !== by.id) throw refuse.forbidden('Only the listener writes in their own session.');
}

function refuseSealed({ sealedAt }: { sealedAt: Date | null }): void {
  if (sealedAt !== null) {
    throw refuse.wrong(
      'sealed',
      'This session is sealed.',
      'What you add now is kept beside it, as added later.',
    );
  }
}

async function refuseStale(made: Change, id: string): Promise<never> {
  const [current] = await loadListening(made.tx, { id });
  throw new StaleVersion(current && presentListening(current));
}
