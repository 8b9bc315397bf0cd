/** Leaving the house for good: what it means is said first, then the account is deleted truly. */
import { Inject, Injectable } from '@nestjs/common';
import { DateTime } from 'luxon';
import type { z } from 'zod';
import { backupPlan, keptBackups } from '../../../libs/backup/index.js';
import { FORMER_MEMBER, type RemovalView, type RemoveAccount } from '../../../libs/contracts/index.js';
import { change, removeAccount } from '../../../libs/store/index.js';
import { passwordFits } from '../access/passwords.js';
import type { SignedIn } from '../access/sessions.js';
import { SignInLimits } from '../access/signInLimits.js';
import { refuse } from '../http/refusals.js';
import { LiveSockets } from '../live/liveSockets.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

@Injectable()
export class Leaving {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(SignInLimits) private readonly limits: SignInLimits,
    @Inject(LiveSockets) private readonly sockets: LiveSockets,
  ) {}

  async view(id: string, by: SignedIn): Promise<RemovalView> {
    insistMay(id, by);
    const { database, backups } = this.config;
    const { prisma } = database;
    const account = await prisma.account.findUnique({ where: { id } });
    if (!account || account.removedAt !== null) throw refuse.notFound('person');
    const [owners, loans, unsealedSessions, plan, kept] = await Promise.all([
      prisma.account.count({ where: { role: 'owner', disabledAt: null, removedAt: null } }),
      prisma.loan.findMany({
        where: {
          publishedAt: { not: null },
          OR: [
            { signOffs: { some: { accountId: id } } },
            { units: { some: { listening: { some: { listenerId: id, sealedAt: { not: null } } } } } },
          ],
        },
        select: { title: true },
        orderBy: { title: 'asc' },
      }),
      prisma.listeningSession.count({ where: { listenerId: id, sealedAt: null } }),
      backupPlan(prisma),
      keptBackups(backups.folder),
    ]);
    const last = account.role === 'owner' && owners < 2;
    const days = Math.max(plan.keepDaily, plan.keepWeekly * 7) + 1;
    return {
      refused: last ? 'The house needs an owner: the last one cannot be deleted.' : '',
      published: loans.map(({ title }) => title),
      unsealedSessions,
      backupsUntil: plan.nightly ? DateTime.utc().plus({ days }).toISODate() : null,
      backupsKept: kept.filter(({ cause }) => cause !== 'nightly').length,
    };
  }

  async remove(
    id: string,
    ask: z.output<typeof RemoveAccount>,
    by: SignedIn,
    address: string,
  ): Promise<void> {
    insistMay(id, by);
    await this.limits.count(by.email, address);
    const { database } = this.config;
    const asking = await database.prisma.account.findUniqueOrThrow({ where: { id: by.id } });
    if (!(await passwordFits(asking.passwordHash, ask.password)))
      throw refuse.wrong('wrong-password', 'The password is not right.', 'Type the one you sign in with.');
    // Whoever deletes themselves is not named in the line that says so.
    const actor = id === by.id ? { id, name: FORMER_MEMBER } : by;
    await change(database, actor, (made) => removeAccount(made, id, new Date()));
    this.sockets.endPerson(id);
  }
}

function insistMay(id: string, by: SignedIn): void {
  if (id !== by.id && by.role !== 'owner') throw refuse.forbidden();
}
