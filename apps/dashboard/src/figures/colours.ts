/** The figures' two moods as CSS properties, so that a drawing follows the page's mood without being drawn anew. */
import type { CSSProperties } from 'react';
import { THEMES, type FigureTheme } from '../../../../libs/figures/index.js';

const tones = [
  'ink',
  'quiet',
  'grid',
  'gridMinor',
  'frame',
  'zone',
  'guide',
] as const satisfies readonly (keyof FigureTheme)[];

export const figureColours: CSSProperties = Object.fromEntries([
  ...tones.map((tone) => [`--fig-${tone}`, `light-dark(${THEMES.paper[tone]}, ${THEMES.night[tone]})`]),
  ...THEMES.paper.curves.map((colour, slot) => [
    `--fig-curve-${slot}`,
    `light-dark(${colour}, ${THEMES.night.curves[slot] ?? THEMES.night.ink})`,
  ]),
]);

export function curveColour(slot: number): string {
  return `var(--fig-curve-${slot % THEMES.paper.curves.length})`;
}
