/** An object without the keys whose value is undefined: a key stands only for data that exists. */
export function present<T extends object>(parts: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  const kept = Object.entries(parts).filter(([, value]) => value !== undefined);
  return Object.fromEntries(kept) as { [K in keyof T]: Exclude<T[K], undefined> };
}
