/** A seeded stream of numbers in [0, 1): the demo must come out the same for the same seed. */
export type Random = () => number;

/** Mulberry32 (a public-domain 32-bit generator); good enough for small measuring noise. */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A seed of its own for each named part, so that one part's draws never shift another's. */
export function seedFor(seed: number, name: string): number {
  let hash = 2166136261 ^ seed;
  for (const character of name) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 16777619);
  return hash >>> 0;
}

/**
 * A draw with mean 0 and deviation 1 from a bell-shaped distribution: the sum of three uniform ones, close to
 * normal and cheaper, and never beyond 3.
 */
export function bellShaped(random: Random): number {
  return 2 * (random() + random() + random() - 1.5);
}
