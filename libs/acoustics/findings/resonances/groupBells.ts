import { bellEdgesHz } from './bellEdgesHz.js';
import type { Bell } from './responseModel.js';

/** Bells closer than this share of their mean width are parts of one shape. */
const TOGETHER = 0.35;

/**
 * Puts together the bells that stand so close that only their sum means something: a resonance out of step with
 * the direct sound is a peak and a dip side by side, a blunt one two peaks. Groups rise in frequency.
 */
export function groupBells(bells: readonly Bell[]): readonly (readonly Bell[])[] {
  const groups: Bell[][] = [];
  for (const bell of bells.toSorted((a, b) => a.centreHz - b.centreHz)) {
    const last = groups.at(-1)?.at(-1);
    if (last && areTogether(last, bell)) groups.at(-1)?.push(bell);
    else groups.push([bell]);
  }
  return groups;
}

function areTogether(low: Bell, high: Bell): boolean {
  const distance = Math.log(high.centreHz / low.centreHz);
  return distance < (TOGETHER * (lnWidth(low) + lnWidth(high))) / 2;
}

function lnWidth(bell: Bell): number {
  const [fromHz, toHz] = bellEdgesHz(bell);
  return Math.log(toHz / fromHz);
}
