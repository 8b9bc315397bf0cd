/** Browser and system in a few words, so that people know their own sessions again. Nothing is decided by it. */
const browsers: readonly (readonly [pattern: RegExp, words: string])[] = [
  [/Edg\//, 'Edge'],
  [/Firefox\//, 'Firefox'],
  [/Chrome\//, 'Chrome'],
  [/Safari\//, 'Safari'],
];
const systems: readonly (readonly [pattern: RegExp, words: string])[] = [
  [/Android/, 'Android'],
  [/iPhone|iPad/, 'iOS'],
  [/Windows/, 'Windows'],
  [/Mac OS X/, 'macOS'],
  [/Linux/, 'Linux'],
];

/** @param agent the User-Agent header (RFC 9110, 10.1.5) */
export function deviceOf(agent: string | undefined): string {
  const first = (of: typeof browsers) => of.find(([pattern]) => pattern.test(agent ?? ''))?.[1];
  const browser = first(browsers) ?? 'A program';
  const system = first(systems);
  return system ? `${browser} on ${system}` : browser;
}
