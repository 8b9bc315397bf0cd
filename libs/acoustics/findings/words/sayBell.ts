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
  readonly sizes: readonly { readonly curve: CurveName; readonly levelDb: number }[];
  readonly correctable: boolean;
}

const NAMES = {
  peak: 'peak',
  dip: 'dip',
  'broad-excess': 'broad excess',
  'broad-deficit': 'broad lack',
} as const;
/** A size this much over the direct sound's is worth saying, dB. */
const LARGER_DB = 0.5;
const ABSENT_DB = 0.15;

/** One sentence on what a bell is, where it stands, and whether an equaliser helps. */
export function sayBell(said: SaidBell): string {
  const { kind, bell, curve, sizes, correctable } = said;
  const size = sayDb(bell.levelDb);
  const article = /^(8|11\.|18\.)/.test(size) ? 'An' : 'A';
  const what = `${article} ${size} ${NAMES[kind]} at ${sayHz(bell.centreHz)} (Q ${sayNumber(bell.q)})`;
  if (correctable) return `${what} ${alike(said)}`;
  const where = curve === 'onAxis' ? 'on axis' : `in ${curveWords(curve)}`;
  if (sizes.length < 3) return `${what}, ${where}; ${unknown(sizes.length)}`;
  return `${what}, ${where}, ${changing(bell.levelDb, sizes)}`;
}

function alike({ kind, bell, curve, sizes }: SaidBell): string {
  const others = joinWords(sizes.map((one) => curveWords(one.curve)));
  const isLarger = sizes.every(({ levelDb }) => Math.abs(levelDb) > Math.abs(bell.levelDb) + LARGER_DB);
  const here = curve === 'onAxis' ? 'stands on axis' : `stands in ${curveWords(curve)}`;
  const cause = kind.startsWith('broad') ? 'it is the balance of the whole' : 'it is a resonance';
  const sign = kind === 'peak' || kind === 'broad-excess' ? 'lower' : 'raise';
  return `${here} and${isLarger ? ', larger,' : ''} in ${others}${isLarger ? '' : ' alike'}: ${cause}, and an equaliser can ${sign} it.`;
}

function changing(levelDb: number, sizes: SaidBell['sizes']): string {
  const elsewhere = joinWords(
    sizes.map((one) => `${against(one.levelDb, levelDb)} in ${curveWords(one.curve)}`),
  );
  return `is ${elsewhere}: it changes with the angle, as diffraction or interference does, so an equaliser cannot correct it everywhere.`;
}

/** A size beside another: how large, and whether it points the other way. */
function against(levelDb: number, reference: number): string {
  if (Math.abs(levelDb) < ABSENT_DB) return 'absent';
  if (levelDb * reference > 0) return sayDb(levelDb);
  return `a ${levelDb > 0 ? 'rise' : 'fall'} of ${sayDb(levelDb)}`;
}

function unknown(compared: number): string {
  return compared === 0
    ? 'no other directions were measured, so whether it is a resonance that an equaliser could correct is not known.'
    : 'too few directions were measured to tell a resonance, which an equaliser could correct, from diffraction.';
}
