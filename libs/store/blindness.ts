/**
 * Who is listening blind. A person with an open session of a unit, begun before they opened its data and not given
 * up, gets none of that unit's results, by any way, until they seal it.
 */
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

const openAndBlind = { sealedAt: null, begunBlind: true, givenUpAt: null } as const;

/** What a person must not be told of. */
export interface Sealed {
  readonly units: ReadonlySet<string>;
  /** The loans those units belong to: what is written of the loan may speak of the unit. */
  readonly loans: ReadonlySet<string>;
}
export const nothingSealed: Sealed = { units: new Set(), loans: new Set() };

export async function sealedFrom(tx: Tx, accountId: string): Promise<Sealed> {
  // Nearly every answer asks this: one statement.
  const open = await tx.$queryRaw<{ unitId: string; loanId: string }[]>`
    select u."id" as "unitId", u."loanId" from (${sealedUnits(accountId)}) s join "Unit" u on u."id" = s."unitId"`;
  if (open.length === 0) return nothingSealed;
  return {
    units: new Set(open.map(({ unitId }) => unitId)),
    loans: new Set(open.map(({ loanId }) => loanId)),
  };
}

/** The people who listen blind to a unit, or to any unit of a loan. */
export async function blindListeners(
  tx: Tx,
  about: { readonly unitId?: string | undefined; readonly loanId?: string | undefined },
): Promise<ReadonlySet<string>> {
  const rows = await tx.listeningSession.findMany({
    where: {
      ...openAndBlind,
      OR: [
        ...(about.unitId === undefined ? [] : [{ unitId: about.unitId }]),
        ...(about.loanId === undefined ? [] : [{ unit: { loanId: about.loanId } }]),
      ],
    },
    select: { listenerId: true },
  });
  return new Set(rows.map(({ listenerId }) => listenerId));
}

/** The same units as a query. */
export const sealedUnits = (accountId: string): Prisma.Sql => Prisma.sql`
  select "unitId" from "ListeningSession" where "listenerId" = ${accountId}::uuid
  and "sealedAt" is null and "begunBlind" and "givenUpAt" is null`;
