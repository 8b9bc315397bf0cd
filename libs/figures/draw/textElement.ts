/** Numbers and texts as SVG. */
import type { PlacedText } from '../layout/figureLayout.js';
import { escapeXml } from './escapeXml.js';
import type { FigureTheme } from './themes.js';

/** At most two decimals: a hundredth of a px is beyond sight. */
export function px(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A text; with `halo`, on a rim of that colour so that it reads on top of lines. */
export function textElement(placed: PlacedText, theme: FigureTheme, halo?: string): string {
  const { text, x, y, anchor, fontPx, weight, tone, full } = placed;
  const fill = tone === 'ink' ? theme.ink : theme.quiet;
  const attributes = [
    `x="${px(x)}" y="${px(y)}" font-size="${px(fontPx)}" fill="${fill}"`,
    anchor === 'start' ? '' : ` text-anchor="${anchor}"`,
    weight === 400 ? '' : ` font-weight="${weight}"`,
    halo === undefined
      ? ''
      : ` stroke="${halo}" stroke-width="${px(fontPx * 0.28)}" stroke-linejoin="round" paint-order="stroke"`,
  ].join('');
  const whole = full === undefined ? '' : `<title>${escapeXml(full)}</title>`;
  return `<text ${attributes}>${whole}${escapeXml(text)}</text>`;
}
