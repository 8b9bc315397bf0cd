import type { Finding } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import { evaluateModel } from './resonances/evaluateModel.js';
import type { SlowPart } from './slowPart.js';
import { trendLine } from './trendLine.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';

const LEAST_DB = 1;
const HIGHEST_HZ = 250;

/**
 * The bass lifted before it rolls off, as an underdamped or high-tuned alignment does: where the response without
 * its peaks and dips rises 1 dB or more above the straight trend of what lies higher. Correctable: so low, every
 * direction is the same.
 */
export function bassLiftFinding(
  { data, model, curve }: DirectSound,
  slow: SlowPart | undefined,
): readonly Finding[] {
  if (!slow) return [];
  const trend = trendLine(slow.hz, slow.levelDb);
  const hz = data.hz.filter((f) => f <= HIGHEST_HZ);
  const lift = evaluateModel({ ...model, bells: [] }, hz).map((level, i) => level - trend(hz[i]));
  const at = lift.reduce((best, level, i) => (level > lift[best] ? i : best), 0);
  const levelDb = lift[at];
  // At the upper end it is no lift of the bass but a broad departure, which is reported as one.
  if (!(levelDb >= LEAST_DB) || at >= lift.length - 2) return [];
  let from = at;
  let to = at;
  while (from > 0 && lift[from - 1] >= levelDb / 2) from--;
  while (to < lift.length - 1 && lift[to + 1] >= levelDb / 2) to++;
  const [fromHz, centreHz, toHz] = [hz[from], hz[at], hz[to]];
  return [
    {
      kind: 'broad-excess',
      fromHz,
      toHz,
      centreHz,
      levelDb,
      q: centreHz / Math.max(toHz - fromHz, centreHz / 100),
      curve,
      correctable: true,
      why: `The bass rises ${sayDb(levelDb)} above the rest at ${sayHz(centreHz)} before it rolls off: it is the bass alignment, the same in every direction, and an equaliser can lower it.`,
    },
  ];
}
