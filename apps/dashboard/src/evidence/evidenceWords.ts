/** The evidence in words. */
import type { EvidencePairView, EvidenceRemarkView, EvidenceView } from '../contracts.js';

/** How well the two fit, from the score of the computation. */
export function fitWords(score: number | null): string {
  if (score === null) return 'put together by hand';
  if (score >= 0.75) return 'fits closely';
  if (score >= 0.5) return 'fits';
  return 'fits loosely';
}

export const decisionWords: Readonly<Record<EvidencePairView['decision'], string>> = {
  computed: 'computed',
  confirmed: 'confirmed',
  refused: 'refused',
  added: 'put together by hand',
  withdrawn: 'computed',
};

const causes: Readonly<Record<string, string>> = {
  room: 'the room, most likely',
  placement: 'the placement, most likely',
  level: 'the level it was played at',
  programme: 'what was playing',
  'said-to-be-absent': 'said to be absent',
  'no-frequency': 'nowhere in frequency',
};
export const causeWords = (cause: string): string => causes[cause] ?? cause.replaceAll('-', ' ');

export const remarkName = ({ remark, by }: EvidenceRemarkView): string =>
  `${remark.descriptor ?? (remark.text === '' ? 'remark' : remark.text.slice(0, 50))}, ${by}`;

export const remarkOf = (view: EvidenceView, id: string): EvidenceRemarkView | undefined =>
  view.remarks.find((one) => one.id === id);
export const findingOf = (view: EvidenceView, key: string) => view.findings.find((one) => one.key === key);

export const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
