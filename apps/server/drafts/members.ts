/** Who writes reviews here. */
import type { Tx } from '../../../libs/store/index.js';

export const members = (tx: Tx): Promise<{ id: string; name: string }[]> =>
  tx.account.findMany({
    where: { disabledAt: null, role: { not: 'viewer' } },
    select: { id: true, name: true },
    orderBy: { name: 'asc' },
  });
