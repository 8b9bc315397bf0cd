/** A figure as SVG: the layout, printed. */
import type { FigureDescription } from '../description.js';
import type { FigureLayout, MapLayout, PanelLayout, PlacedText } from '../layout/figureLayout.js';
import { layoutFigure } from '../layout/layoutFigure.js';
import type { SizeChoice } from '../layout/sizes.js';
import { curveWidthPx, dashArray } from './curveStroke.js';
import { drawMark, drawZones } from './drawMarks.js';
import { escapeXml } from './escapeXml.js';
import { px, textElement } from './textElement.js';
import { FIGURE_FONT_FAMILY, THEMES, type FigureTheme, type ThemeName } from './themes.js';

export interface DrawOptions {
  readonly size: SizeChoice;
  readonly theme: ThemeName;
}

/**
 * One self-contained SVG element: no script, no style sheet, no link, no id; the only reference is a map's own image,
 * carried as data. All text from outside is escaped. It has a title and a description for readers who cannot see it.
 */
export function drawSvg(description: FigureDescription, options: DrawOptions): string {
  return drawLayout(description, layoutFigure(description, options.size), THEMES[options.theme]);
}

function drawLayout(description: FigureDescription, layout: FigureLayout, theme: FigureTheme): string {
  const { widthPx, heightPx, fontPx, physicalWidth } = layout;
  const title = escapeXml([description.title, description.subtitle ?? ''].filter((t) => t !== '').join(', '));
  const told = [description.summary, description.invented ? 'Invented data.' : ''].join(' ').trim();
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" ${sizeAttributes(widthPx, heightPx, physicalWidth)} viewBox="0 0 ${widthPx} ${heightPx}" role="img" aria-label="${title}" font-family="'${FIGURE_FONT_FAMILY}', system-ui, sans-serif" text-rendering="geometricPrecision">`,
    `<title>${title}</title><desc>${escapeXml(told)}</desc>`,
    `<rect width="${widthPx}" height="${heightPx}" fill="${theme.background}"/>`,
    ...layout.header.map((text) => textElement(text, theme)),
    ...layout.panels.map((panel) => drawPanel(panel, theme, fontPx)),
    ...layout.key.map(
      ({ slot, dash, sample, text }) =>
        line(sample, curveColour(theme, slot), 0.14 * fontPx, dashArray(dash, fontPx)) +
        textElement(text, theme),
    ),
    ...layout.list.map(
      (entry) =>
        drawMark(entry, theme, fontPx) + entry.lines.map((text) => textElement(text, theme)).join(''),
    ),
    ...layout.footer.map((text) => textElement(text, theme)),
    '</svg>',
  ];
  return parts.join('');
}

function sizeAttributes(widthPx: number, heightPx: number, physicalWidth: string | undefined): string {
  if (physicalWidth === undefined) return `width="${widthPx}" height="${heightPx}"`;
  const millimetres = Number.parseFloat(physicalWidth);
  return `width="${physicalWidth}" height="${px((millimetres * heightPx) / widthPx)}mm"`;
}

function drawPanel(panel: PanelLayout, theme: FigureTheme, fontPx: number): string {
  const { box } = panel;
  const hairline = fontPx * 0.06;
  const parts = [
    drawZones(panel, theme),
    panel.map ? drawMap(panel.map, panel, theme, fontPx) : drawGrid(panel, theme, hairline),
    `<rect x="${px(box.x)}" y="${px(box.y)}" width="${px(box.width)}" height="${px(box.height)}" fill="none" stroke="${theme.frame}" stroke-width="${px(hairline)}"/>`,
    textElement(panel.heading, theme),
    ...panel.tickTexts.map((text) => textElement(text, theme)),
    ...panel.guides.map(({ y }) =>
      line(
        `M${px(box.x)},${px(y)}h${px(box.width)}`,
        theme.guide,
        fontPx * 0.09,
        `${px(fontPx * 0.2)} ${px(fontPx * 0.25)}`,
      ),
    ),
    // The most important curve lies on top.
    ...panel.series
      .toSorted((a, b) => rank(a.emphasis) - rank(b.emphasis))
      .map((series) => drawCurve(series, theme, fontPx)),
    ...panel.guides.flatMap(({ label }) => (label ? [textElement(label, theme, theme.background)] : [])),
    ...panel.zones.flatMap(({ label }) => (label ? [textElement(label, theme, theme.zone)] : [])),
    ...panel.marks.map((mark) => drawMark(mark, theme, fontPx, panel.map !== undefined)),
  ];
  return `<g>${parts.join('')}</g>`;
}

function rank(emphasis: PanelLayout['series'][number]['emphasis']): number {
  return emphasis === 'main' ? 2 : emphasis === 'normal' ? 1 : 0;
}

function drawGrid({ box, gridX, gridY }: PanelLayout, theme: FigureTheme, hairline: number): string {
  const path = (isLabelled: boolean) =>
    [
      ...gridX
        .filter(({ labelled }) => labelled === isLabelled)
        .map(({ at }) => `M${px(at)},${px(box.y)}v${px(box.height)}`),
      ...gridY
        .filter(({ labelled }) => labelled === isLabelled)
        .map(({ at }) => `M${px(box.x)},${px(at)}h${px(box.width)}`),
    ].join('');
  return line(path(false), theme.gridMinor, hairline) + line(path(true), theme.grid, hairline);
}

function drawCurve(series: PanelLayout['series'][number], theme: FigureTheme, fontPx: number): string {
  const colour = curveColour(theme, series.slot);
  const widthPx = curveWidthPx(series.emphasis, fontPx);
  const dashes = dashArray(series.dash, fontPx);
  const curve =
    series.path === ''
      ? ''
      : `<path d="${series.path}" fill="none" stroke="${colour}" stroke-width="${px(widthPx)}" stroke-linejoin="round"${dashes === undefined ? '' : ` stroke-dasharray="${dashes}"`}/>`;
  if (!series.label) return curve;
  const { leader, sample, text } = series.label;
  return (
    curve +
    line(leader, theme.frame, fontPx * 0.06) +
    line(sample, colour, widthPx, dashes) +
    textElement(text, theme)
  );
}

function drawMap(map: MapLayout, { box }: PanelLayout, theme: FigureTheme, fontPx: number): string {
  const step = map.bar.height / map.barStops.length;
  const halo = fontPx * 0.26;
  return [
    `<image x="${px(box.x)}" y="${px(box.y)}" width="${px(box.width)}" height="${px(box.height)}" preserveAspectRatio="none" href="${map.href}"/>`,
    line(map.contour, '#ffffff', halo),
    line(map.contour, '#000000', halo * 0.45),
    ...map.barStops.map(
      ({ offset, colour }) =>
        `<rect x="${px(map.bar.x)}" y="${px(map.bar.y + offset * map.bar.height)}" width="${px(map.bar.width)}" height="${px(step + 0.6)}" fill="${colour}"/>`,
    ),
    line(`M${px(map.bar.x)},${px(map.barContourY)}h${px(map.bar.width)}`, '#ffffff', halo),
    line(`M${px(map.bar.x)},${px(map.barContourY)}h${px(map.bar.width)}`, '#000000', halo * 0.45),
    ...map.barTicks.map((text: PlacedText) => textElement(text, theme)),
  ].join('');
}

function line(path: string, colour: string, widthPx: number, dashes?: string): string {
  if (path === '') return '';
  return `<path d="${path}" fill="none" stroke="${colour}" stroke-width="${px(widthPx)}"${dashes === undefined ? '' : ` stroke-dasharray="${dashes}"`}/>`;
}

function curveColour(theme: FigureTheme, slot: number): string {
  return theme.curves[slot % theme.curves.length] ?? theme.ink;
}
