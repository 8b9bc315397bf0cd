/**
 * Two people changed one record. What only one of them touched is kept from either; what both touched differently
 * is a clash that a person decides.
 */
export interface Clash {
  readonly key: string;
  readonly was: unknown;
  readonly mine: unknown;
  readonly theirs: unknown;
}
export interface Merge {
  /** My changes that nobody else touched. */
  readonly mineOnly: readonly string[];
  /** Their changes that I did not touch. */
  readonly theirsOnly: readonly string[];
  readonly clashes: readonly Clash[];
}

type Keyed = Readonly<Record<string, unknown>>;

/** The keys whose values differ, by content. */
export function changedKeys(was: Keyed, is: Keyed, among: readonly string[]): string[] {
  return among.filter((key) => !same(was[key], is[key]));
}

export function mergeOf(was: Keyed, mine: Keyed, theirs: Keyed, among: readonly string[]): Merge {
  const myKeys = changedKeys(was, mine, among);
  const theirKeys = changedKeys(was, theirs, among);
  const clashing = myKeys.filter((key) => theirKeys.includes(key) && !same(mine[key], theirs[key]));
  return {
    mineOnly: myKeys.filter((key) => !theirKeys.includes(key)),
    theirsOnly: theirKeys.filter((key) => !myKeys.includes(key)),
    clashes: clashing.map((key) => ({ key, was: was[key], mine: mine[key], theirs: theirs[key] })),
  };
}

/** What to send on top of their version. */
export function resolved(merge: Merge, mine: Keyed, keepMine: ReadonlySet<string>): Record<string, unknown> {
  const keys = [
    ...merge.mineOnly,
    ...merge.clashes.map((clash) => clash.key).filter((key) => keepMine.has(key)),
  ];
  return Object.fromEntries(keys.map((key) => [key, mine[key]]));
}

/** Instants are the same however their zone is written; the rest by content. */
function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (
    typeof a === 'string' &&
    typeof b === 'string' &&
    /^\d{4}-\d\d-\d\dT/.test(a) &&
    /^\d{4}-\d\d-\d\dT/.test(b)
  ) {
    return Date.parse(a) === Date.parse(b);
  }
  return JSON.stringify(a) === JSON.stringify(b);
}
