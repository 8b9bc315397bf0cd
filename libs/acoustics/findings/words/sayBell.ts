import type { CurveName } from '../../analysis.js';
import { curveWords } from './curveWords.js';
import { joinWords } from './joinWords.js';
import { sayDb } from './sayDb.js';
import { sayHz } from './sayHz.js';
import { sayNumber } from './sayNumber.js';

export interface SaidBell {
  readonly kind: 'peak' | 'dip' | 'broad-excess' | 'broad-deficit';
  readonly bell: { readonly centreHz: number; readonly levelDb: number; readonly q: number };
  readonly curve: CurveName;
  /** How large it is in the curves it was compared with. */
  readonly sizes: readonly { readonly curve: CurveName; readonly levelDb: number; readonly alike: boolean }[];
}

const NAMES = {
  peak: 'peak',
  dip: 'dip',
  'broad-excess': 'broad excess',
  'broad-deficit': 'broad lack',
} as const;

/** One sentence on what a bell is, where it stands, and whether an equaliser helps. */
export function sayBell(said: SaidBell): string {
  const { kind, bell, curve, sizes } = said;
  const size = sayDb(bell.levelDb);
  const article = /^(8|11|18)/.test(size) ? 'An' : 'A';
  const what = `${article} ${size} ${NAMES[kind]} at ${sayHz(bell.centreHz)} (Q ${sayNumber(bell.q)})`;
  if (sizes.length < 3) return `${what}, ${place(curve)}; ${unknown(sizes)}`;
  const odd = sizes.filter(({ alike }) => !alike);
  return odd.length === 0
    ? `${what} ${alike(said)}`
    : `${what}, ${place(curve)}, ${changing(bell.levelDb, odd)}`;
}

function place(curve: CurveName): string {
  return curve === 'onAxis' ? 'on axis' : `in ${curveWords(curve)}`;
}

function alike({ kind, curve, sizes }: SaidBell): string {
  const where = joinWords([
    ...(curve === 'onAxis' ? [] : [`in ${curveWords(curve)}`]),
    ...sizes.map((one) => curveWords(one.curve)),
  ]);
  const stands = curve === 'onAxis' ? `stands on axis and in ${where} alike` : `stands ${where} alike`;
  const cause = kind.startsWith('broad') ? 'it is the balance of the whole' : 'it is a resonance';
  const sign = kind === 'peak' || kind === 'broad-excess' ? 'lower' : 'raise';
  return `${stands}: ${cause}, and an equaliser can ${sign} it.`;
}

function changing(levelDb: number, odd: SaidBell['sizes']): string {
  const elsewhere = joinWords(
    odd.map((one) => `${signed(one.levelDb, levelDb)} in ${curveWords(one.curve)}`),
  );
  return `is ${elsewhere}: it changes with the angle, as diffraction or interference does, so an equaliser cannot correct it everywhere.`;
}

/** A size beside another: how large, and whether it points the other way. */
function signed(levelDb: number, reference: number): string {
  if (Math.abs(levelDb) < 0.15) return 'absent';
  const way = levelDb * reference < 0 ? (levelDb > 0 ? ' above' : ' below') : '';
  return `${sayDb(levelDb)}${way}`;
}

function unknown(sizes: SaidBell['sizes']): string {
  return sizes.length === 0
    ? 'no other directions were measured, so whether it is a resonance that an equaliser could correct is not known.'
    : 'too few directions were measured to tell a resonance, which an equaliser could correct, from diffraction.';
}
