/** The whole figure, top to bottom. */
import type { FigureDescription, FigurePanel, FigureSeries } from '../description.js';
import type { FigureLayout, KeyEntry, ListEntry, PanelLayout, PlacedText } from './figureLayout.js';
import { gutterWidthPx } from './layoutLabels.js';
import { barGutterPx } from './layoutMap.js';
import { layoutFooter, layoutHeader, layoutKey, layoutList } from './layoutText.js';
import { TICK_SCALE, layoutPanel, tickWidthPx } from './layoutPanel.js';
import { resolveSize, type FigureSize, type SizeChoice } from './sizes.js';
import { textWidthPx } from './textWidth.js';

export interface LayoutOptions {
  /** Ids of curves the reader has switched off. */
  readonly hidden?: ReadonlySet<string>;
}

/**
 * Where everything lies. The width is the size's; the height follows from the panels' fixed proportions and the text.
 * Pure: the same description and size give the same layout in browser and server.
 */
export function layoutFigure(
  description: FigureDescription,
  choice: SizeChoice,
  options: LayoutOptions = {},
): FigureLayout {
  const size = resolveSize(choice);
  const margins = marginsOf(description, size);
  const header = layoutHeader(description, size);
  const { panels, bottom } = stackPanels(description, size, margins, header.bottom, options);
  const key = layoutKey(description, size, bottom, unlabelledOf(description, panels));
  const list = layoutList(description, size, key.bottom);
  const footer = layoutFooter(description, size, list.bottom);
  return {
    widthPx: size.widthPx,
    heightPx: Math.ceil(footer.bottom + size.fontPx * 0.9),
    fontPx: size.fontPx,
    ...(size.physicalWidth === undefined ? {} : { physicalWidth: size.physicalWidth }),
    header: header.texts,
    panels,
    key: key.entries,
    list: list.entries,
    footer: footer.texts,
  };
}

/** Curves that are drawn but found no room for their label. */
function unlabelledOf(description: FigureDescription, panels: readonly PanelLayout[]): Set<FigureSeries> {
  const found = description.panels.flatMap((panel, index) => {
    const laid = panels[index]?.series ?? [];
    const nameless = new Set(laid.filter(({ label, path }) => !label && path !== '').map(({ id }) => id));
    return panel.series.filter(({ id }) => nameless.has(id));
  });
  return new Set(found);
}

interface Margins {
  readonly left: number;
  readonly right: number;
}

function marginsOf(description: FigureDescription, size: FigureSize): Margins {
  const ticks = description.panels.reduce((most, panel) => Math.max(most, tickWidthPx(panel, size)), 0);
  const series = description.panels.flatMap((panel) => panel.series);
  const hasMap = description.panels.some(({ map }) => map !== undefined);
  const lastTick = textWidthPx('20k', size.fontPx * TICK_SCALE) / 2;
  const gutter = Math.max(gutterWidthPx(series, size), hasMap ? barGutterPx(size.fontPx) : 0);
  return { left: size.fontPx * 1.4 + ticks, right: Math.max(gutter, lastTick) + size.fontPx * 0.6 };
}

function stackPanels(
  description: FigureDescription,
  size: FigureSize,
  margins: Margins,
  top: number,
  options: LayoutOptions,
): { readonly panels: PanelLayout[]; readonly bottom: number } {
  const width = size.widthPx - margins.left - margins.right;
  const hidden = options.hidden ?? new Set<string>();
  const panels: PanelLayout[] = [];
  let y = top;
  description.panels.forEach((panel, index) => {
    y += size.fontPx * 2;
    const height = panelHeightPx(panel, width);
    const box = { x: margins.left, y, width, height };
    const isLowest = index === description.panels.length - 1;
    const gutterPx = margins.right - size.fontPx * 0.6;
    const laid = layoutPanel(panel, { box, gutterPx, size, isLowest, hidden });
    panels.push(isLowest ? withFrequencyLabel(laid, panel, size) : laid);
    y += height;
  });
  return { panels, bottom: y + size.fontPx * 3.6 };
}

/** dB panels keep their ratio to the decade; the rest a share of the width. */
function panelHeightPx(panel: FigurePanel, widthPx: number): number {
  if (panel.height.kind === 'share') return widthPx * panel.height.ofWidth;
  const [fromHz, toHz] = panel.x.domain;
  const decadePx = widthPx / Math.log10(toHz / fromHz);
  const [low, high] = panel.y.domain;
  const spanDb = panel.y.scale === 'log' ? 20 * Math.log10(high / low) : high - low;
  return (spanDb / panel.height.dbPerDecade) * decadePx;
}

function withFrequencyLabel(laid: PanelLayout, panel: FigurePanel, size: FigureSize): PanelLayout {
  const { box } = laid;
  const label: PlacedText = {
    text: `${panel.x.label}, ${panel.x.unit}`,
    x: box.x + box.width / 2,
    y: box.y + box.height + size.fontPx * 2.65,
    anchor: 'middle',
    fontPx: size.fontPx,
    weight: 400,
    tone: 'quiet',
  };
  return { ...laid, tickTexts: [...laid.tickTexts, label] };
}

/** Every text of a figure: for measuring, searching and testing. */
export function textsOf(layout: FigureLayout): PlacedText[] {
  const some = (text: PlacedText | undefined): PlacedText[] => (text ? [text] : []);
  return [
    ...layout.header,
    ...layout.panels.flatMap((panel) => [
      panel.heading,
      ...panel.tickTexts,
      ...panel.zones.flatMap(({ label }) => some(label)),
      ...panel.guides.flatMap(({ label }) => some(label)),
      ...panel.series.flatMap(({ label }) => some(label?.text)),
      ...panel.marks.map(({ numberText }) => numberText),
      ...(panel.map?.barTicks ?? []),
    ]),
    ...layout.key.map(({ text }: KeyEntry) => text),
    ...layout.list.flatMap(({ numberText, lines }: ListEntry) => [numberText, ...lines]),
    ...layout.footer,
  ];
}
