/** The sizes figures are drawn at. */

export type SizeName = 'screen' | 'phone' | 'print';

export interface FigureSize {
  readonly widthPx: number;
  readonly fontPx: number;
  /** Labels beside the curves written out, or short and explained beneath. */
  readonly labels: 'full' | 'short';
  readonly physicalWidth?: string;
}

/** A named size, or a width in px (240 to 4000) with its text size. */
export type SizeChoice = SizeName | { readonly widthPx: number; readonly fontPx?: number };

export const SIZES: Readonly<Record<SizeName, FigureSize>> = {
  screen: { widthPx: 960, fontPx: 14, labels: 'full' },
  phone: { widthPx: 360, fontPx: 12, labels: 'short' },
  // 170 mm, the text width of an A4 page with 20 mm margins, in px of 1/96 inch; text 8 pt.
  print: { widthPx: 642, fontPx: 10.5, labels: 'full', physicalWidth: '170mm' },
};

/** Throws a RangeError on a width or text size nothing could be read at. */
export function resolveSize(choice: SizeChoice): FigureSize {
  if (typeof choice === 'string') return SIZES[choice];
  const { widthPx } = choice;
  const fontPx = choice.fontPx ?? (widthPx < 560 ? SIZES.phone.fontPx : SIZES.screen.fontPx);
  if (!(widthPx >= 240 && widthPx <= 4000)) {
    throw new RangeError(`A figure is 240 to 4000 px wide, not ${widthPx}.`);
  }
  if (!(fontPx >= 6 && fontPx <= widthPx / 20)) {
    throw new RangeError(
      `Text in a figure ${widthPx} px wide is 6 to ${widthPx / 20} px high, not ${fontPx}.`,
    );
  }
  return { widthPx, fontPx, labels: widthPx / fontPx < 45 ? 'short' : 'full' };
}
