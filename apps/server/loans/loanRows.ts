/** How loans are loaded, once for all who present them. */
import type { MakerView } from '../../../libs/contracts/index.js';
import type { Database, Tx } from '../../../libs/store/index.js';
import { refuse } from '../http/refusals.js';

export const loanSummaryInclude = {
  maker: { select: { name: true } },
  units: { orderBy: { createdAt: 'asc' } },
} as const;

export const loanInclude = {
  ...loanSummaryInclude,
  accessories: { orderBy: { position: 'asc' } },
  reports: { orderBy: { createdAt: 'asc' }, include: { photographs: { orderBy: { createdAt: 'asc' } } } },
  deliveryProofs: { orderBy: { createdAt: 'asc' }, include: { blob: { select: { mediaType: true } } } },
  verdict: true,
  signOffs: { orderBy: { createdAt: 'asc' }, include: { account: { select: { name: true } } } },
} as const;

/** In the order of the ids. */
export async function loadSummaries(tx: Tx, ids: readonly string[]) {
  const rows = await tx.loan.findMany({ where: { id: { in: [...ids] } }, include: loanSummaryInclude });
  const byId = new Map(rows.map((row) => [row.id, row]));
  return ids.flatMap((id) => byId.get(id) ?? []);
}

export async function loadLoan(tx: Tx, id: string) {
  const loan = await tx.loan.findUnique({ where: { id }, include: loanInclude });
  if (!loan) throw refuse.notFound('loan');
  return loan;
}

/** The units of a loan whose results this person has opened. */
export async function openedUnits(
  tx: Tx,
  accountId: string,
  unit: Record<string, unknown>,
): Promise<ReadonlySet<string>> {
  const units = await tx.unit.findMany({ where: unit, select: { id: true } });
  const opened = await tx.dataOpening.findMany({
    where: { accountId, unitId: { in: units.map(({ id }) => id) } },
  });
  return new Set(opened.map(({ unitId }) => unitId));
}

export type LoanSummaryRow = Awaited<ReturnType<typeof loadSummaries>>[number];
export type LoanRow = Awaited<ReturnType<typeof loadLoan>>;

const MAKERS = `select m."id", m."name", m."website", m."notes",
    (select coalesce(jsonb_agg(jsonb_build_object('id', c."id", 'name', c."name", 'email', c."email",
      'phone', c."phone", 'duty', c."duty") order by c."name"), '[]')
     from "Contact" c where c."makerId" = m."id") as "contacts",
    (select count(*)::int from "Loan" l where l."makerId" = m."id") as "loanCount", m."invented", m."version"
  from "Maker" m`;

/** Read as they are shown. */
export async function loadMakers({ pool }: Database): Promise<MakerView[]> {
  return (await pool.query<MakerView>({ name: 'makers', text: `${MAKERS} order by m."name"` })).rows;
}
export async function loadMaker({ pool }: Database, id: string): Promise<MakerView> {
  const text = `${MAKERS} where m."id" = $1`;
  const [maker] = (await pool.query<MakerView>({ name: 'maker', text, values: [id] })).rows;
  if (!maker) throw refuse.notFound('maker');
  return maker;
}
