/** Proof that a crate was handed over: files and photographs beside date and name. */
import { Inject, Injectable } from '@nestjs/common';
import type { Binned } from '../../../libs/contracts/index.js';
import { change, putInBin, type Change } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loanOf, tellLoan } from './tellLoan.js';

const MOST = 20;

@Injectable()
export class DeliveryProofs {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /** A file that was uploaded for a loan. */
  async add(
    made: Change,
    loanId: string,
    file: { sha256: string; name: string },
    by: SignedIn,
  ): Promise<void> {
    const loan = await made.tx.loan.findUnique({ where: { id: loanId } });
    if (!loan) throw refuse.notFound('loan');
    if ((await made.tx.deliveryProof.count({ where: { loanId } })) >= MOST)
      throw refuse.wrong('too-many-files', `A loan keeps at most ${MOST} proofs of delivery.`);
    await made.tx.deliveryProof.create({ data: { ...file, loanId, addedBy: by.id, addedByName: by.name } });
    tellLoan(made, loan, 'proof-added', `kept ${file.name} as proof of delivery`);
  }

  async one(id: string): Promise<{ sha256: string; mediaType: string; name: string }> {
    const found = await this.config.database.prisma.deliveryProof.findUnique({
      where: { id },
      include: { blob: true },
    });
    if (!found) throw refuse.notFound('proof of delivery');
    return { sha256: found.sha256, mediaType: found.blob.mediaType, name: found.name };
  }

  async remove(id: string, by: SignedIn): Promise<Binned> {
    return change(this.config.database, by, async (made) => {
      const found = await made.tx.deliveryProof.findUnique({ where: { id } });
      if (!found) throw refuse.notFound('proof of delivery');
      const { name, sha256, loanId } = found;
      const loan = await loanOf(made, loanId);
      const root = { table: 'DeliveryProof', column: 'id', value: id } as const;
      const binned = await putInBin(made, {
        kind: 'proof',
        root,
        title: name,
        within: loan.title,
        loanId,
        told: true,
      });
      tellLoan(made, loan, 'proof-removed', `took ${name} away as proof of delivery`, {
        before: { name, sha256 },
      });
      return binned;
    });
  }
}
