/** Sentences of the archive. */
import type { ArchivePage, CampaignView, comparedCurves } from '../contracts.js';
import { count } from '../words/numbers.js';

export type ComparedCurve = (typeof comparedCurves)[number];
export type Alignment = 'as-measured' | 'sensitivity';
export const comparedCurveWords: Readonly<Record<ComparedCurve, string>> = {
  onAxis: 'On axis',
  listeningWindow: 'Listening window',
  earlyReflections: 'Early reflections',
  soundPower: 'Sound power',
  earlyReflectionsDirectivityIndex: 'Early reflections directivity index',
  soundPowerDirectivityIndex: 'Sound power directivity index',
  estimatedInRoom: 'Estimated in-room response',
};

/** `Units 26 to 50 of 61`. */
export function pageWords({ rows, total, page, pageSize }: ArchivePage): string {
  if (total === 0) return 'No units';
  if (rows.length === 0) return `Nothing on page ${page}; there are ${count(total, 'unit')}`;
  const first = (page - 1) * pageSize + 1;
  if (rows.length === total) return count(total, 'unit');
  return rows.length === 1
    ? `Unit ${first} of ${total}`
    : `Units ${first} to ${first + rows.length - 1} of ${total}`;
}

/** Why units are missing from the list; nothing when none are. */
export function withheldWords(withheld: number): string | null {
  if (withheld === 0) return null;
  const [units, them] = withheld === 1 ? ['One unit is', 'it'] : [`${withheld} units are`, 'them'];
  return `${units} not shown: you have not opened ${withheld === 1 ? 'its' : 'their'} data or sealed a listening session on ${them}, and numbers seen here would end your blindness.`;
}

/** How far a campaign is, 0 to 1. */
export function campaignShare({ total, done, current, failed }: CampaignView): number {
  return total === 0 ? 1 : (done + current + failed) / total;
}

/** `12 of 40 sets recomputed, 3 up to date already, 1 failed`. */
export function campaignWords(campaign: CampaignView): string {
  const { done, total, current, failed } = campaign;
  return [
    `${done} of ${count(total, 'set')} recomputed`,
    ...(current > 0 ? [`${current} up to date already`] : []),
    ...(failed > 0 ? [`${failed} kept ${failed === 1 ? 'its' : 'their'} earlier result`] : []),
  ].join(', ');
}

/** An index is a difference of two curves of one unit: its level is nobody's sensitivity. */
export const isIndex = (of: ComparedCurve): boolean => of.endsWith('DirectivityIndex');
