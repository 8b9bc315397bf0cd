/** Writes that name the version they saw: the second writer is told and nothing is overwritten silently. */

export class StaleVersion extends Error {
  readonly code = 'stale-version';
  readonly current: unknown;
  constructor(current: unknown) {
    super('Somebody changed this in the meantime.');
    this.current = withoutSecrets(current);
  }
}

/** What stands now is shown to the second writer; a row's secrets never leave with it. */
function withoutSecrets(row: unknown): unknown {
  if (typeof row !== 'object' || row === null || Array.isArray(row)) return row;
  return Object.fromEntries(Object.entries(row).filter(([key]) => !/^(password|token)Hash$/.test(key)));
}
export class NotFound extends Error {
  readonly code = 'not-found';
}

interface VersionedTable<Row> {
  updateMany(args: {
    where: { id: string | number; version: number };
    data: object;
  }): Promise<{ count: number }>;
  findUnique(args: { where: { id: string | number } }): Promise<Row | null>;
}

/**
 * Writes `data` if the row still has `version`, and counts the version up.
 * @throws StaleVersion with the row as it stands; NotFound when it is gone
 */
export async function writeVersion<Row>(
  table: unknown,
  id: string | number,
  version: number,
  data: object,
): Promise<{ before: Row; after: Row }> {
  const rows = table as VersionedTable<Row>;
  const before = await rows.findUnique({ where: { id } });
  if (!before) throw new NotFound('That is not there (any more).');
  const written = await rows.updateMany({
    where: { id, version },
    data: { ...data, version: { increment: 1 } },
  });
  const after = await rows.findUnique({ where: { id } });
  if (written.count === 0 || !after) throw new StaleVersion(after);
  return { before, after };
}

/** Only the fields that changed, for the history. */
export function differences(before: object, after: object): { before: object; after: object } {
  const was = before as Record<string, unknown>;
  const is = after as Record<string, unknown>;
  const changed = Object.keys(is).filter(
    (key) => !['version', 'updatedAt'].includes(key) && JSON.stringify(was[key]) !== JSON.stringify(is[key]),
  );
  const pick = (from: Record<string, unknown>) => Object.fromEntries(changed.map((key) => [key, from[key]]));
  return { before: pick(was), after: pick(is) };
}
