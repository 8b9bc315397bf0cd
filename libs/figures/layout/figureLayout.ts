/**
 * Where everything in a figure lies, in px from the figure's top left corner: what `drawSvg` prints and what an
 * interactive chart draws, so there is one geometry. Paths are SVG path data, already cut to their panel.
 */
import type { Dash, FigureSeries } from '../description.js';

export interface FigureLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly fontPx: number;
  /** Printed width such as `170mm`; absent where px are meant. */
  readonly physicalWidth?: string;
  readonly header: readonly PlacedText[];
  readonly panels: readonly PanelLayout[];
  /** Explains short labels; empty where labels are written out. */
  readonly key: readonly KeyEntry[];
  readonly list: readonly ListEntry[];
  readonly footer: readonly PlacedText[];
}

export interface PlacedText {
  readonly text: string;
  readonly x: number;
  /** Of the baseline. */
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly fontPx: number;
  readonly weight: 400 | 700;
  readonly tone: 'ink' | 'quiet';
  /** The whole text where `text` had to be shortened. */
  readonly full?: string;
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface PanelLayout {
  readonly id: string;
  readonly box: Box;
  readonly heading: PlacedText;
  readonly gridX: readonly GridLine[];
  readonly gridY: readonly GridLine[];
  readonly tickTexts: readonly PlacedText[];
  readonly zones: readonly ZoneLayout[];
  readonly guides: readonly GuideLayout[];
  readonly series: readonly SeriesLayout[];
  readonly marks: readonly MarkLayout[];
  readonly map?: MapLayout;
  /** Hz to px and back; the y quantity to px. */
  readonly xOf: (hz: number) => number;
  readonly hzAt: (x: number) => number;
  readonly yOf: (value: number) => number;
  readonly valueAt: (y: number) => number;
}

export interface GridLine {
  readonly at: number;
  readonly labelled: boolean;
}

export interface ZoneLayout extends Box {
  readonly label?: PlacedText;
}

export interface GuideLayout {
  readonly y: number;
  readonly label?: PlacedText;
}

export interface SeriesLayout {
  readonly id: string;
  readonly slot: number;
  readonly dash: Dash;
  readonly emphasis: FigureSeries['emphasis'];
  readonly path: string;
  readonly label?: SeriesLabel;
}

export interface SeriesLabel {
  readonly text: PlacedText;
  /** A hairline from the curve's end towards its label. */
  readonly leader: string;
  /** A piece of the curve's own line before the text. */
  readonly sample: string;
}

export interface KeyEntry {
  readonly seriesId: string;
  readonly slot: number;
  readonly dash: Dash;
  readonly sample: string;
  readonly text: PlacedText;
}

export interface MarkLayout {
  readonly id: string;
  readonly number: number;
  readonly filled: boolean;
  readonly text: string;
  readonly cx: number;
  readonly cy: number;
  readonly radius: number;
  /** From the mark to its place on the curve. */
  readonly stem: string;
  /** How wide the finding is, at its place on the curve. */
  readonly span: string;
  readonly numberText: PlacedText;
}

export interface ListEntry {
  readonly markId: string;
  readonly number: number;
  readonly filled: boolean;
  readonly cx: number;
  readonly cy: number;
  readonly radius: number;
  readonly numberText: PlacedText;
  readonly lines: readonly PlacedText[];
}

export interface MapLayout {
  /** A palette PNG as a data URL, to be stretched over the panel's box. */
  readonly href: string;
  readonly contour: string;
  readonly contourDb: number;
  readonly bar: Box;
  readonly barStops: readonly { readonly offset: number; readonly colour: string }[];
  readonly barTicks: readonly PlacedText[];
  /** Where the contour's level lies on the bar. */
  readonly barContourY: number;
}
