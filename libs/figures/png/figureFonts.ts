/** The open typeface figures are set in, ready for the renderer. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { woffToSfnt } from './woffToSfnt.js';

const SUBSETS = ['latin', 'latin-ext', 'greek', 'cyrillic'] as const;
const WEIGHTS = [400, 700] as const;

/** One subset and weight as a TrueType file, from the installed font package. */
export function readFigureFont(
  subset: (typeof SUBSETS)[number],
  weight: (typeof WEIGHTS)[number],
): Uint8Array {
  const path = createRequire(import.meta.url).resolve(
    `@fontsource/sofia-sans/files/sofia-sans-${subset}-${weight}-normal.woff`,
  );
  return woffToSfnt(readFileSync(path));
}

let loaded: readonly Buffer[] | undefined;

/** All subsets and weights; read once. */
export function figureFonts(): readonly Buffer[] {
  loaded ??= SUBSETS.flatMap((subset) =>
    WEIGHTS.map((weight) => Buffer.from(readFigureFont(subset, weight))),
  );
  return loaded;
}
