/** The verdict and who stands behind it. A sign-off counts for one version: a later edit voids it. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { AddSignOff, ChangeVerdict, VerdictView } from '../../../libs/contracts/index.js';
import { change, json, StaleVersion } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadLoan } from './loanRows.js';
import { presentVerdict } from './present.js';
import { tellLoan } from './tellLoan.js';

@Injectable()
export class Verdicts {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async change(loanId: string, ask: z.output<typeof ChangeVerdict>, by: SignedIn): Promise<VerdictView> {
    await change(this.config.database, by, async (made) => {
      const loan = await loadLoan(made.tx, loanId);
      const { version, text, pros, cons } = ask;
      const data = {
        ...(text === undefined ? {} : { text }),
        ...(pros ? { pros: json(pros) } : {}),
        ...(cons ? { cons: json(cons) } : {}),
      };
      const written =
        version === 0
          ? await made.tx.verdict.createMany({ data: [{ loanId, ...data }], skipDuplicates: true })
          : await made.tx.verdict.updateMany({
              where: { loanId, version },
              data: { ...data, version: { increment: 1 } },
            });
      if (written.count === 0) throw new StaleVersion(presentVerdict(await loadLoan(made.tx, loanId)));
      const { verdict } = await loadLoan(made.tx, loanId);
      tellLoan(made, loan, 'verdict-changed', 'wrote in the verdict', {
        before: loan.verdict,
        after: verdict,
      });
    });
    return presentVerdict(await loadLoan(this.config.database.prisma, loanId));
  }

  async signOff(loanId: string, ask: z.output<typeof AddSignOff>, by: SignedIn): Promise<VerdictView> {
    if (by.role === 'owner' && ask.decision === 'approve') {
      throw refuse.wrong(
        'own-verdict',
        'The sign-off is a second pair of eyes: a co-host or editor gives it.',
      );
    }
    await change(this.config.database, by, async (made) => {
      const loan = await loadLoan(made.tx, loanId);
      if ((loan.verdict?.version ?? 0) !== ask.verdictVersion) throw new StaleVersion(presentVerdict(loan));
      await made.tx.signOff.create({ data: { ...ask, loanId, accountId: by.id } });
      const sentence =
        ask.decision === 'approve' ? 'signed off the verdict' : 'asks for changes to the verdict';
      tellLoan(made, loan, `verdict-${ask.decision}`, sentence, { reason: ask.note || null });
    });
    return presentVerdict(await loadLoan(this.config.database.prisma, loanId));
  }
}
