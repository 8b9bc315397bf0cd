/** The words around the panels: header, key, findings, footer. */
import type { FigureDescription, FigureSeries } from '../description.js';
import type { KeyEntry, ListEntry, PlacedText } from './figureLayout.js';
import { markNumber, markRadiusPx } from './layoutMarks.js';
import type { FigureSize } from './sizes.js';
import { shortenText, textWidthPx, wrapText } from './textWidth.js';

const LINE = 1.3;
const MOST_LISTED = 40;

export const INVENTED_WORDS = 'Invented data';

interface LaidTexts {
  readonly texts: readonly PlacedText[];
  /** Where the next thing may start, px. */
  readonly bottom: number;
}

function edgePx(size: FigureSize): number {
  return size.fontPx * 0.9;
}

/** Title, unit, and the mark of invented data beside the title or, where that is long, beneath. */
export function layoutHeader(description: FigureDescription, size: FigureSize): LaidTexts {
  const edge = edgePx(size);
  const room = size.widthPx - 2 * edge;
  const titlePx = size.fontPx * 1.4;
  const tagWidth = description.invented ? textWidthPx(INVENTED_WORDS, size.fontPx, 700) + size.fontPx : 0;
  const texts: PlacedText[] = [];
  let y = edge + titlePx * 0.85;
  texts.push(fitted(description.title, edge, y, room, titlePx, 700, 'ink'));
  if (description.subtitle !== undefined) {
    y += size.fontPx * 1.45;
    texts.push(fitted(description.subtitle, edge, y, room - tagWidth, size.fontPx, 400, 'quiet'));
  }
  if (description.invented) {
    if (description.subtitle === undefined) y += size.fontPx * 1.45;
    texts.push({
      text: INVENTED_WORDS,
      x: size.widthPx - edge,
      y,
      anchor: 'end',
      fontPx: size.fontPx,
      weight: 700,
      tone: 'ink',
    });
  }
  return { texts, bottom: y + size.fontPx * 0.5 };
}

function fitted(
  text: string,
  x: number,
  y: number,
  widthPx: number,
  fontPx: number,
  weight: 400 | 700,
  tone: PlacedText['tone'],
): PlacedText {
  const shown = shortenText(text, widthPx, fontPx, weight);
  return {
    text: shown,
    x,
    y,
    anchor: 'start',
    fontPx,
    weight,
    tone,
    ...(shown === text ? {} : { full: text }),
  };
}

/** Short labels explained, and curves named that had no room beside their panel; as many to a row as fit. */
export function layoutKey(
  description: FigureDescription,
  size: FigureSize,
  top: number,
  unlabelled: ReadonlySet<FigureSeries>,
): { readonly entries: KeyEntry[]; readonly bottom: number } {
  const { fontPx } = size;
  const edge = edgePx(size);
  const entries: KeyEntry[] = [];
  let x = edge;
  let y = top + fontPx * 0.6;
  for (const series of description.panels.flatMap((panel) => panel.series)) {
    const isShortened = size.labels === 'short' && series.shortLabel !== series.label;
    if (!isShortened && !unlabelled.has(series)) continue;
    const whole = isShortened ? `${series.shortLabel}: ${series.label}` : series.label;
    const sampleWidth = fontPx * 1.8;
    const text = shortenText(whole, size.widthPx - 2 * edge - sampleWidth, fontPx);
    const width = sampleWidth + textWidthPx(text, fontPx);
    if (x > edge && x + width > size.widthPx - edge) {
      x = edge;
      y += fontPx * 1.5;
    }
    const { id, slot, dash } = series;
    const sample = `M${x.toFixed(1)},${(y - fontPx * 0.34).toFixed(1)}h${(fontPx * 1.4).toFixed(1)}`;
    const placed: PlacedText = {
      text,
      x: x + sampleWidth,
      y,
      anchor: 'start',
      fontPx,
      weight: 400,
      tone: 'ink',
    };
    entries.push({ seriesId: id, slot, dash, sample, text: placed });
    x += width + fontPx * 1.4;
  }
  return { entries, bottom: entries.length > 0 ? y + fontPx * 1.3 : top };
}

/** The findings behind the numbers. */
export function layoutList(
  description: FigureDescription,
  size: FigureSize,
  top: number,
): { readonly entries: ListEntry[]; readonly bottom: number } {
  const { fontPx } = size;
  const radius = markRadiusPx(fontPx);
  const edge = edgePx(size);
  const indent = edge + radius * 2 + fontPx * 0.6;
  const entries: ListEntry[] = [];
  let y = top + fontPx * 0.8;
  const marks = description.panels.flatMap((panel) => panel.marks).toSorted((a, b) => a.number - b.number);
  for (const mark of marks.slice(0, MOST_LISTED)) {
    const wrapped = wrapText(mark.text, size.widthPx - edge - indent, fontPx, 4);
    const lines = wrapped.map((text, index): PlacedText => {
      const baseline = y + index * fontPx * LINE;
      return { text, x: indent, y: baseline, anchor: 'start', fontPx, weight: 400, tone: 'ink' };
    });
    const cx = edge + radius;
    const cy = y - fontPx * 0.34;
    const { id, number, filled } = mark;
    const numberText = markNumber(number, cx, cy, fontPx);
    entries.push({ markId: id, number, filled, cx, cy, radius, numberText, lines });
    y += Math.max(1, lines.length) * fontPx * LINE + fontPx * 0.3;
  }
  return { entries, bottom: entries.length > 0 ? y : top };
}

/** Notes, conditions, provenance, and once more whether the data is invented. */
export function layoutFooter(description: FigureDescription, size: FigureSize, top: number): LaidTexts {
  const fontPx = size.fontPx * 0.92;
  const edge = edgePx(size);
  const count = description.panels.flatMap(({ marks }) => marks).length;
  const paragraphs = [
    ...(count > MOST_LISTED ? [`${count - MOST_LISTED} more findings are in the table.`] : []),
    ...description.notes,
    ...(description.conditions === undefined ? [] : [`Measured: ${description.conditions}`]),
    ...(description.invented ? [`${INVENTED_WORDS}: no such product exists.`] : []),
    ...(description.provenance === undefined ? [] : [`From: ${description.provenance}`]),
  ];
  const texts: PlacedText[] = [];
  let y = top + fontPx * 0.6;
  for (const paragraph of paragraphs) {
    for (const text of wrapText(paragraph, size.widthPx - 2 * edge, fontPx)) {
      texts.push({ text, x: edge, y, anchor: 'start', fontPx, weight: 400, tone: 'quiet' });
      y += fontPx * LINE;
    }
    y += fontPx * 0.15;
  }
  return { texts, bottom: paragraphs.length > 0 ? y - fontPx * LINE : top };
}
