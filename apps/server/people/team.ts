/** Changing people: roles, names, and who may no longer come in. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import { IANAZone } from 'luxon';
import type { ChangePerson, Person } from '../../../libs/contracts/index.js';
import { change, differences, writeVersion } from '../../../libs/store/index.js';
import { Sessions, type SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { LiveSockets } from '../live/liveSockets.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentPerson } from './present.js';

type Row = Parameters<typeof presentPerson>[0];

@Injectable()
export class Team {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(LiveSockets) private readonly sockets: LiveSockets,
  ) {}

  async list(): Promise<Person[]> {
    const rows = await this.config.database.prisma.account.findMany({
      where: { removedAt: null },
      orderBy: { createdAt: 'asc' },
    });
    return rows.map(presentPerson);
  }

  async change(id: string, ask: z.output<typeof ChangePerson>, by: SignedIn): Promise<Person> {
    const touchesRights = ask.role !== undefined || ask.disabled !== undefined;
    if (by.role !== 'owner' && (id !== by.id || touchesRights)) throw refuse.forbidden();
    if (id === by.id && touchesRights)
      throw refuse.wrong('own-rights', 'The owner’s own role stays as it is.');
    if (ask.timeZone !== undefined && !IANAZone.isValidZone(ask.timeZone)) {
      throw refuse.wrong(
        'time-zone',
        `“${ask.timeZone}” is not a time zone.`,
        'Use a name such as Europe/Berlin.',
      );
    }
    const data = {
      ...(ask.name === undefined ? {} : { name: ask.name }),
      ...(ask.role === undefined ? {} : { role: ask.role }),
      ...(ask.timeZone === undefined ? {} : { timeZone: ask.timeZone }),
      ...(ask.disabled === undefined ? {} : { disabledAt: ask.disabled ? new Date() : null }),
    };
    const after = await change(this.config.database, by, async (made) => {
      // Who was deleted is not let in again.
      if ((await made.tx.account.count({ where: { id, removedAt: null } })) === 0)
        throw refuse.notFound('person');
      const written = await writeVersion<Row & { passwordHash: string }>(
        made.tx.account,
        id,
        ask.version,
        data,
      );
      const difference = differences(written.before, written.after);
      made.record({
        action: 'person-changed',
        subject: 'account',
        subjectId: id,
        sentence: `changed ${written.after.name}: ${Object.keys(difference.after).join(', ') || 'nothing'}`,
        ...difference,
      });
      made.publish('team', 'people-changed', {
        accountId: id,
        by: by.name,
        sentence: `${written.after.name} was changed`,
      });
      return written.after;
    });
    if (touchesRights) {
      // New rights begin with a new sign-in: what was open under the old ones ends now.
      await this.sessions.closeOthers(id);
      this.sockets.endPerson(id);
    }
    return presentPerson(after);
  }

  /** A lost phone, a borrowed computer: what was open of somebody ends now. */
  async endSessions(id: string, by: SignedIn): Promise<void> {
    await change(this.config.database, by, async (made) => {
      const account = await made.tx.account.findUnique({ where: { id }, select: { name: true } });
      if (!account) throw refuse.notFound('person');
      const sentence = `signed ${account.name} out everywhere`;
      made.record({ action: 'sessions-ended', subject: 'account', subjectId: id, sentence });
    });
    await this.sessions.closeOthers(id);
    this.sockets.endPerson(id);
  }
}
