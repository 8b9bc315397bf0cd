/** Findings and shaded stretches as SVG. */
import type { ListEntry, MarkLayout, PanelLayout } from '../layout/figureLayout.js';
import { px, textElement } from './textElement.js';
import type { FigureTheme } from './themes.js';

/**
 * A numbered disc (correctable) or ring (not), with its stem and width where it stands in a panel. On a map the lines
 * are black on a white rim, which reads on every colour of the scale in both themes.
 */
export function drawMark(
  mark: MarkLayout | ListEntry,
  theme: FigureTheme,
  fontPx: number,
  isOnMap = false,
): string {
  const { cx, cy, radius, filled, numberText } = mark;
  const fill = filled ? theme.ink : theme.background;
  const number = textElement(numberText, { ...theme, ink: filled ? theme.background : theme.ink });
  const disc = `<circle cx="${px(cx)}" cy="${px(cy)}" r="${px(radius)}" fill="${fill}" stroke="${theme.ink}" stroke-width="${px(fontPx * 0.09)}"/>`;
  if (!('stem' in mark)) return disc + number;
  const line = (colour: string, width: number) =>
    `<path d="${mark.span}${mark.stem}" fill="none" stroke="${colour}" stroke-width="${px(fontPx * width)}"/>`;
  const lines = isOnMap ? line('#ffffff', 0.26) + line('#000000', 0.1) : line(theme.ink, 0.09);
  return lines + disc + number;
}

export function drawZones({ zones }: PanelLayout, theme: FigureTheme): string {
  return zones
    .map(
      ({ x, y, width, height }) =>
        `<rect x="${px(x)}" y="${px(y)}" width="${px(width)}" height="${px(height)}" fill="${theme.zone}"/>`,
    )
    .join('');
}
