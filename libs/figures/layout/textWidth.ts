/** Text measured without a browser: advances of the bundled typeface, checked against the font file by a test. */

/** Advances of U+0020 to U+007E in thousandths of the text size. */
const REGULAR = [
  210, 231, 325, 600, 630, 942, 672, 185, 270, 270, 414, 600, 232, 490, 232, 372, 580, 454, 540, 548, 542,
  522, 568, 529, 576, 580, 232, 236, 600, 600, 600, 469, 1000, 560, 573, 633, 641, 533, 504, 653, 661, 255,
  265, 595, 476, 769, 662, 642, 545, 642, 604, 568, 535, 644, 584, 847, 551, 535, 545, 270, 372, 270, 506,
  540, 216, 494, 536, 517, 543, 519, 367, 517, 556, 235, 236, 491, 235, 845, 556, 536, 537, 541, 356, 464,
  385, 542, 496, 716, 477, 497, 464, 266, 257, 266, 600,
];
const BOLD = [
  203, 256, 376, 613, 630, 945, 678, 205, 278, 278, 411, 600, 264, 485, 264, 393, 594, 480, 551, 562, 570,
  542, 585, 548, 590, 595, 260, 269, 600, 600, 600, 489, 994, 587, 588, 643, 649, 540, 516, 660, 668, 267,
  277, 615, 487, 785, 669, 651, 559, 651, 613, 572, 545, 651, 607, 872, 577, 563, 556, 280, 393, 280, 523,
  545, 241, 504, 540, 526, 546, 530, 381, 520, 558, 245, 246, 516, 245, 840, 558, 544, 540, 545, 365, 471,
  395, 546, 513, 741, 504, 512, 473, 290, 261, 290, 600,
];
const OTHERS: Readonly<Record<string, number>> = {
  '°': 391,
  '±': 600,
  '\u2212': 600,
  '\u2013': 740,
  '×': 600,
  '·': 275,
  '…': 775,
  '’': 264,
  Ω: 652,
};
/** Unlisted letters count as wide, ideographs and pictures as square. */
const WIDE = 680;
const SQUARE = 1000;
const ELLIPSIS = '…';

export function textWidthPx(text: string, fontPx: number, weight: 400 | 700 = 400): number {
  let thousandths = 0;
  for (const letter of text) thousandths += advanceOf(letter, weight);
  return (thousandths * fontPx) / 1000;
}

function advanceOf(letter: string, weight: 400 | 700): number {
  const code = letter.codePointAt(0) ?? 32;
  const known = (weight === 700 ? BOLD : REGULAR)[code - 32] ?? OTHERS[letter];
  return known ?? (code > 0x2e7f ? SQUARE : WIDE);
}

/** `text`, cut with an ellipsis where it is wider than `widthPx`. */
export function shortenText(text: string, widthPx: number, fontPx: number, weight: 400 | 700 = 400): string {
  if (textWidthPx(text, fontPx, weight) <= widthPx) return text;
  const room = (widthPx / fontPx) * 1000 - advanceOf(ELLIPSIS, weight);
  const kept = lettersWithin(text, room, weight);
  return (kept === '' ? firstLetter(text) : kept).trimEnd() + ELLIPSIS;
}

/** As many of the first letters as `room` thousandths of the text size hold. */
function lettersWithin(text: string, room: number, weight: 400 | 700): string {
  let kept = 0;
  let used = 0;
  for (const letter of text) {
    used += advanceOf(letter, weight);
    if (used > room) break;
    kept += letter.length;
  }
  return text.slice(0, kept);
}

function firstLetter(text: string): string {
  return String.fromCodePoint(text.codePointAt(0) ?? 32);
}

/** `text` in lines no wider than `widthPx`, at most `most` of them; a longer word is broken, a longer text cut. */
export function wrapText(text: string, widthPx: number, fontPx: number, most = 8): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).filter((part) => part !== '')) {
    for (const piece of breakWord(word, widthPx, fontPx)) {
      const longer = line === '' ? piece : `${line} ${piece}`;
      if (textWidthPx(longer, fontPx) <= widthPx) {
        line = longer;
        continue;
      }
      if (line !== '') lines.push(line);
      line = piece;
    }
    if (lines.length > most) break;
  }
  if (line !== '') lines.push(line);
  if (lines.length <= most) return lines;
  const last = shortenText(`${lines[most - 1] ?? ''}${ELLIPSIS}`, widthPx, fontPx);
  return [...lines.slice(0, most - 1), last];
}

function breakWord(word: string, widthPx: number, fontPx: number): string[] {
  if (textWidthPx(word, fontPx) <= widthPx) return [word];
  const room = (widthPx / fontPx) * 1000;
  const pieces: string[] = [];
  for (let rest = word; rest !== ''; rest = rest.slice(pieces.at(-1)?.length)) {
    const piece = lettersWithin(rest, room, 400);
    pieces.push(piece === '' ? firstLetter(rest) : piece);
  }
  return pieces;
}
