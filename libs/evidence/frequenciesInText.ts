/** Frequencies people write in words: "80-120 Hz", "around 3 kHz", "above 8k", "below 60 Hz". */
export interface Band {
  readonly fromHz: number;
  readonly toHz: number;
}

/** One named frequency is taken as a third of an octave to each side. */
const AROUND = 2 ** (1 / 3);
const AUDIBLE: Band = { fromHz: 20, toHz: 20_000 };

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)`;
const UNIT = String.raw`\s*(k(?:hz)?|hz|hertz|kilohertz)?`;
const RANGE = new RegExp(
  String.raw`${NUMBER}${UNIT}\s*(?:-|–|—|to|and|\.\.+)\s*${NUMBER}\s*(k(?:hz)?|hz|hertz|kilohertz)\b`,
  'gi',
);
const ONE = new RegExp(
  String.raw`(above|over|below|under|beneath|up to|from)?\s*${NUMBER}\s*(k(?:hz)?|hz|hertz|kilohertz)\b`,
  'gi',
);

/** The first frequency or range a text names; undefined when it names none within hearing. */
export function frequenciesInText(text: string): Band | undefined {
  const [range] = text.matchAll(RANGE);
  if (range) {
    const to = inHz(range[3], range[4]);
    const from = inHz(range[1], range[2] ?? range[4]);
    return within({ fromHz: Math.min(from, to), toHz: Math.max(from, to) });
  }
  const [one] = text.matchAll(ONE);
  if (!one) return undefined;
  const at = inHz(one[2], one[3]);
  switch (one[1]?.toLowerCase()) {
    case 'above':
    case 'over':
    case 'from':
      return within({ fromHz: at, toHz: AUDIBLE.toHz });
    case 'below':
    case 'under':
    case 'beneath':
    case 'up to':
      return within({ fromHz: AUDIBLE.fromHz, toHz: at });
    default:
      return within({ fromHz: at / AROUND, toHz: at * AROUND });
  }
}

function inHz(digits: string | undefined, unit: string | undefined): number {
  const value = Number((digits ?? '').replace(',', '.'));
  return unit?.toLowerCase().startsWith('k') ? value * 1000 : value;
}

function within({ fromHz, toHz }: Band): Band | undefined {
  const band = { fromHz: Math.max(fromHz, AUDIBLE.fromHz), toHz: Math.min(toHz, AUDIBLE.toHz) };
  return band.toHz > band.fromHz ? band : undefined;
}
