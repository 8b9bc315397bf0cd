/** Which backups made by themselves are kept: the newest of the last days and of the last weeks that have one. */

export interface Retention {
  readonly keepDaily: number;
  readonly keepWeekly: number;
}

/** A Monday-based week has one number; days are counted from 1970-01-01, a Thursday. */
const DAY_MS = 86_400_000;
const dayOf = (at: Date): number => Math.floor(at.getTime() / DAY_MS);
const weekOf = (at: Date): number => Math.floor((dayOf(at) + 3) / 7);

/** @returns those to remove; the newest of all is never among them */
export function noLongerKept<T extends { readonly at: Date }>(
  made: readonly T[],
  { keepDaily, keepWeekly }: Retention,
): T[] {
  const newestFirst = made.toSorted((a, b) => b.at.getTime() - a.at.getTime());
  const kept = new Set([
    ...newestFirst.slice(0, 1),
    ...newestOfEach(newestFirst, dayOf, keepDaily),
    ...newestOfEach(newestFirst, weekOf, keepWeekly),
  ]);
  return newestFirst.filter((each) => !kept.has(each));
}

function newestOfEach<T extends { readonly at: Date }>(
  newestFirst: readonly T[],
  spanOf: (at: Date) => number,
  most: number,
): T[] {
  const bySpan = new Map<number, T>();
  for (const each of newestFirst) {
    const span = spanOf(each.at);
    if (!bySpan.has(span)) bySpan.set(span, each);
  }
  return [...bySpan.values()].slice(0, most);
}
