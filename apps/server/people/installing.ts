/** First run: the owner's account and the installation's name, made once however many ask at once. */
import { timingSafeEqual } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import { SetUpInstallation } from '../../../libs/contracts/index.js';
import { change, type Actor, type Database } from '../../../libs/store/index.js';
import { hashPassword } from '../access/passwords.js';
import { refuseWeakPassword } from '../access/weakPasswords.js';
import { Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

type SetUp = z.output<typeof SetUpInstallation>;

@Injectable()
export class Installing {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async setUp(ask: SetUp, fromThisMachine: boolean): Promise<string> {
    if (!fromThisMachine && !sameCode(ask.setupCode, this.config.setupCode)) {
      throw new Refused(403, {
        code: 'setup-code',
        message: 'First set-up from another machine needs the code printed where the server was started.',
      });
    }
    refuseWeakPassword(ask.password, [ask.teamName, ask.name, ask.email]);
    return install(this.config.database, ask);
  }
}

function sameCode(given: string | undefined, code: string): boolean {
  const a = Buffer.from(given ?? '');
  const b = Buffer.from(code);
  return a.length === b.length && timingSafeEqual(a, b);
}

/** @returns the owner's account id. @throws Refused when the installation has an owner already */
export async function install(database: Database, ask: SetUp): Promise<string> {
  const passwordHash = await hashPassword(ask.password);
  const actor: Actor = { id: null, name: ask.name };
  return change(database, actor, async (made) => {
    // The one row decides a race: the second set-up finds it taken.
    const first = await made.tx.installation.createMany({
      data: [{ id: 1, name: ask.teamName, timeZone: ask.timeZone, invented: ask.demo }],
      skipDuplicates: true,
    });
    if (first.count === 0) {
      throw new Refused(409, {
        code: 'already-set-up',
        message: 'This installation already has an owner. Sign in.',
      });
    }
    const owner = await made.tx.account.create({
      data: {
        email: ask.email,
        name: ask.name,
        role: 'owner',
        passwordHash,
        timeZone: ask.timeZone,
        invented: ask.demo,
      },
    });
    made.record({
      action: 'installation-set-up',
      subject: 'account',
      subjectId: owner.id,
      sentence: `set up ${ask.teamName}`,
    });
    if (ask.demo) made.request('load-demo', 'load-demo-1', { ownerId: owner.id });
    return owner.id;
  });
}
