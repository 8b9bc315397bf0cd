import type { Compression, Finding } from '../analysis.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';
import { sayNumber } from './words/sayNumber.js';

/** Zones closer than a third of an octave are one. */
const TOGETHER = 2 ** (1 / 3);

type Zone = Compression['above1Db'][number];

/**
 * Zones that change by more than 1 dB with level (a guide line; common practice, no source). Zones that overlap, or
 * nearly, at several levels are one finding: the worst, its sentence naming the lowest level.
 */
export function compressionFindings(compression: Compression | undefined): readonly Finding[] {
  if (!compression) return [];
  const groups: Zone[][] = [];
  let endHz = 0;
  for (const zone of compression.above1Db.toSorted((a, b) => a.fromHz - b.fromHz)) {
    if (groups.length === 0 || zone.fromHz > endHz * TOGETHER) groups.push([]);
    groups[groups.length - 1].push(zone);
    endHz = Math.max(endHz, zone.toHz);
  }
  return groups.map((group) => asFinding(group, compression));
}

function asFinding(group: readonly Zone[], compression: Compression): Finding {
  const worst = group.reduce((a, b) => (Math.abs(b.worstDb) > Math.abs(a.worstDb) ? b : a));
  const fromHz = Math.min(...group.map((zone) => zone.fromHz));
  const toHz = Math.max(...group.map((zone) => zone.toHz));
  const lowest = Math.min(...group.map((zone) => zone.levelDb));
  const what = worst.worstDb < 0 ? 'falls short of' : 'exceeds';
  const since = lowest < worst.levelDb ? `; it passes 1 dB from ${sayNumber(lowest)} dB on` : '';
  return {
    kind: 'compression',
    fromHz,
    toHz,
    centreHz: worstHz(worst, compression),
    levelDb: worst.worstDb,
    curve: `compression ${sayNumber(worst.levelDb)} dB`,
    correctable: false,
    why:
      `At ${sayNumber(worst.levelDb)} dB the output ${what} what ${sayNumber(compression.referenceDb)} dB promises by up to ` +
      `${sayDb(worst.worstDb)} between ${sayHz(fromHz)} and ${sayHz(toHz)}${since}.`,
  };
}

/** Where in the zone the deviation is largest. */
function worstHz(zone: Zone, { levels }: Compression): number {
  const level = levels.find(({ levelDb }) => levelDb === zone.levelDb);
  let best = Math.sqrt(zone.fromHz * zone.toHz);
  let most = -1;
  level?.frequencyHz.forEach((hz, i) => {
    const size = Math.abs(level.deviationDb[i]);
    if (hz < zone.fromHz || hz > zone.toHz || size <= most) return;
    most = size;
    best = hz;
  });
  return best;
}
