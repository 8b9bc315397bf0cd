/**
 * Words reviewers use for what they hear, with the range each usually points at and whether it is too much or too
 * little of it. Common practice, no source.
 */
import type { Remark } from '../contracts.js';

export type { Remark };
export interface Descriptor {
  readonly word: string;
  readonly sign: Remark['sign'];
  readonly fromHz: number;
  readonly toHz: number;
}

export const descriptors: readonly Descriptor[] = [
  { word: 'boomy', sign: 'excess', fromHz: 60, toHz: 150 },
  { word: 'muddy', sign: 'excess', fromHz: 100, toHz: 300 },
  { word: 'boxy', sign: 'excess', fromHz: 200, toHz: 500 },
  { word: 'honky', sign: 'excess', fromHz: 400, toHz: 1000 },
  { word: 'tinny', sign: 'excess', fromHz: 1000, toHz: 2000 },
  { word: 'shouty', sign: 'excess', fromHz: 1500, toHz: 3000 },
  { word: 'harsh', sign: 'excess', fromHz: 2000, toHz: 5000 },
  { word: 'sibilant', sign: 'excess', fromHz: 4000, toHz: 8000 },
  { word: 'splashy', sign: 'excess', fromHz: 8000, toHz: 12_000 },
  { word: 'weak bass', sign: 'lack', fromHz: 20, toHz: 80 },
  { word: 'thin', sign: 'lack', fromHz: 100, toHz: 500 },
  { word: 'dull', sign: 'lack', fromHz: 2000, toHz: 20_000 },
  { word: 'airy', sign: 'neutral', fromHz: 10_000, toHz: 20_000 },
];

export const signWords: Readonly<Record<Remark['sign'], string>> = {
  excess: 'too much',
  lack: 'too little',
  neutral: 'neutral',
};
export const sideWords = { left: 'left', right: 'right', both: 'both sides' } as const;
export const severityWords = ['barely', 'slight', 'clear', 'strong', 'spoils it'] as const;

export function remarkFrom(descriptor: Descriptor | null, id: string): Remark {
  if (!descriptor) return { id, text: '', sign: 'neutral', severity: 2 };
  const { word, sign, fromHz, toHz } = descriptor;
  return { id, text: '', descriptor: word, sign, fromHz, toHz, severity: 2 };
}
