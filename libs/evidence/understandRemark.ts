/** What a remark claims: where, and whether there is too much or too little. */
import { descriptors, type Descriptor } from './descriptors.js';
import { frequenciesInText, type Band } from './frequenciesInText.js';
import type { HeardRemark } from './types.js';

export interface Claim {
  /** Absent when nothing in the remark says where. */
  readonly band?: Band;
  readonly sign: 'excess' | 'lack' | 'either';
  /** "not harsh": the remark says that the fault is absent. */
  readonly denied: boolean;
  /** Says strained, distorted, compressed: something that comes with level. */
  readonly strained: boolean;
  /** The word or range the band was taken from, for the reason. */
  readonly by: string;
}

const NEGATION = /\b(not|never|isn't|isnt|wasn't|without|free of|nothing|hardly|no)\b(?:\W+\w+){0,2}\W*$/i;
const STRAINED = /\b(distort|strain|compress|break(?:s|ing)? up|clipp|congest|farting|chuff)/i;

/** A stated range wins, then the ticked descriptor, then what the text says. */
export function understandRemark(remark: HeardRemark): Claim {
  const said = saidIn(remark.text);
  const ticked = remark.descriptor === undefined ? undefined : wordOf(remark.descriptor);
  const word = ticked ?? said?.word;
  const stated = statedBand(remark);
  const named = frequenciesInText(remark.text);
  const band = stated ?? (ticked ? bandOf(ticked) : (named ?? (word ? bandOf(word) : undefined)));
  return {
    ...(band ? { band } : {}),
    sign: signOf(remark.sign, word),
    denied:
      ticked === undefined && stated === undefined && said?.denied === true && remark.sign === 'neutral',
    strained: STRAINED.test(remark.text),
    by: stated
      ? 'the range given'
      : ticked || !named
        ? word
          ? `“${word.name}”`
          : 'the words'
        : 'the frequency named',
  };
}

function statedBand({ fromHz, toHz }: HeardRemark): Band | undefined {
  if (fromHz === undefined && toHz === undefined) return undefined;
  return { fromHz: fromHz ?? 20, toHz: toHz ?? 20_000 };
}

const bandOf = ({ fromHz, toHz }: Descriptor): Band => ({ fromHz, toHz });

function wordOf(name: string): Descriptor | undefined {
  const wanted = name.trim().toLowerCase();
  return descriptors.find((one) => one.name === wanted) ?? saidIn(name)?.word;
}

/** The first descriptor a text says, and whether it is denied ("not at all boomy"). */
function saidIn(text: string): { word: Descriptor; denied: boolean } | undefined {
  const plain = ` ${text.toLowerCase()} `;
  let first: { word: Descriptor; at: number } | undefined;
  for (const word of descriptors) {
    for (const beginning of word.says) {
      const at = startOf(plain, beginning);
      if (at >= 0 && (first === undefined || at < first.at)) first = { word, at };
    }
  }
  return first && { word: first.word, denied: NEGATION.test(plain.slice(0, first.at)) };
}

/** Where a word begins with these letters; -1 when none does. */
function startOf(text: string, beginning: string): number {
  for (let at = text.indexOf(beginning); at >= 0; at = text.indexOf(beginning, at + 1)) {
    if (beginning.startsWith(' ') || !/[a-z]/.test(text[at - 1] ?? ' ')) return at;
  }
  return -1;
}

function signOf(ticked: HeardRemark['sign'], word: Descriptor | undefined): Claim['sign'] {
  if (word?.means === 'lack') return 'lack';
  if (ticked !== 'neutral') return ticked;
  return word ? word.means : 'either';
}
