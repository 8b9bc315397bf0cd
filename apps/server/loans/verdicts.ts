/** The verdict and who stands behind it. A sign-off counts for one version: a later edit voids it. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { AddSignOff, ChangeVerdict, VerdictView } from '../../../libs/contracts/index.js';
import { asPoint, rewrite } from '../../../libs/drafts/index.js';
import {
  change,
  changeDraft,
  draftVersionOf,
  json,
  lockDraft,
  NULL_JSON,
  StaleVersion,
  type Tx,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { draftHouse } from '../drafts/draftHouse.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadLoan } from './loanRows.js';
import { presentVerdict } from './present.js';
import { tellLoan } from './tellLoan.js';

type VerdictFields = z.output<typeof ChangeVerdict>;

@Injectable()
export class Verdicts {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async change(loanId: string, ask: VerdictFields, by: SignedIn): Promise<VerdictView> {
    await change(this.config.database, by, async (made) => {
      const loan = await loadLoan(made.tx, loanId);
      const { version, text, draftVersion: seen = 0 } = ask;
      // The text first: who writes in it locks in this order too.
      const draft = text === undefined ? undefined : await lockDraft(made.tx, loanId);
      const data = columns(ask);
      const written =
        version === 0
          ? await made.tx.verdict.createMany({ data: [{ loanId, ...data }], skipDuplicates: true })
          : await made.tx.verdict.updateMany({
              where: { loanId, version },
              data: { ...data, version: { increment: 1 } },
            });
      const textStale = draft !== undefined && (await draftVersionOf(made.tx, loanId)) !== seen;
      if (written.count === 0 || textStale) throw new StaleVersion(await this.#view(made.tx, loanId));
      if (draft) await changeDraft(made, draft, (document) => rewrite(document, text ?? ''));
      const { verdict } = await loadLoan(made.tx, loanId);
      tellLoan(made, loan, 'verdict-changed', 'wrote in the verdict', {
        before: loan.verdict,
        after: verdict,
      });
    });
    return this.#view(this.config.database.prisma, loanId);
  }

  async signOff(loanId: string, ask: z.output<typeof AddSignOff>, by: SignedIn): Promise<VerdictView> {
    if (by.role === 'owner' && ask.decision === 'approve') {
      throw refuse.wrong(
        'own-verdict',
        'The sign-off is a second pair of eyes: a co-host or editor gives it.',
      );
    }
    if (ask.decision === 'request-changes' && ask.note === '') {
      throw refuse.wrong('note-needed', 'Say in the note what should change.');
    }
    await change(this.config.database, by, async (made) => {
      // Held until the commit: nobody changes the text under a sign-off.
      await lockDraft(made.tx, loanId);
      await made.tx.$queryRaw`select 1 from "Verdict" where "loanId" = ${loanId}::uuid for update`;
      const loan = await loadLoan(made.tx, loanId);
      const { version, draftVersion } = loan.verdict ?? { version: 0, draftVersion: 0 };
      if (version !== ask.verdictVersion || draftVersion !== ask.draftVersion)
        throw new StaleVersion(await this.#view(made.tx, loanId));
      await made.tx.signOff.create({ data: { ...ask, loanId, accountId: by.id } });
      const sentence =
        ask.decision === 'approve' ? 'signed off the verdict' : 'asks for changes to the verdict';
      tellLoan(made, loan, `verdict-${ask.decision}`, sentence, { reason: ask.note || null });
    });
    return this.#view(this.config.database.prisma, loanId);
  }

  async #view(tx: Tx, loanId: string): Promise<VerdictView> {
    return presentVerdict(await loadLoan(tx, loanId), await draftHouse(tx));
  }
}

function columns({ pros, cons, suggestions, outline }: VerdictFields): object {
  return {
    ...(pros ? { pros: json(pros.map(asPoint)) } : {}),
    ...(cons ? { cons: json(cons) } : {}),
    ...(suggestions ? { suggestions: json(suggestions) } : {}),
    ...(outline === undefined ? {} : { outline: outline === null ? NULL_JSON : json(outline) }),
  };
}
