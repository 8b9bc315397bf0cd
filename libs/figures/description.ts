/**
 * A figure as plain JSON: everything a drawing says, nothing about where its pixels lie.
 *
 * The worker stores it, the server hands it out, the dashboard lays it out live and `drawSvg` prints it, so screen,
 * publication and table can never disagree. All x values are frequencies in Hz, rising; y values are in the unit of
 * their panel's axis; `null` is a gap. Text is raw: escaping is the drawing's business.
 */

export interface FigureDescription {
  readonly schema: 'sojourn.figure/1';
  /** Kebab-case, unique within one analysis; names the files. */
  readonly name: string;
  readonly title: string;
  /** The unit or units shown. */
  readonly subtitle?: string;
  /** Stacked top to bottom over one frequency axis. */
  readonly panels: readonly FigurePanel[];
  /** What a careful reader must know: method, what lies outside the range, what was not measured. */
  readonly notes: readonly string[];
  readonly conditions?: string;
  /** Where the data came from: input hashes, algorithm version, settings. */
  readonly provenance?: string;
  readonly invented: boolean;
  /** The figure in one or two sentences, for readers who cannot see it. */
  readonly summary: string;
}

export interface FigurePanel {
  readonly id: string;
  readonly x: Axis;
  readonly y: Axis;
  readonly height: PanelHeight;
  readonly series: readonly FigureSeries[];
  readonly zones: readonly FigureZone[];
  readonly guides: readonly FigureGuide[];
  readonly marks: readonly FigureMark[];
  readonly map?: FigureMap;
}

/**
 * `ratio`: so many dB take the width of one frequency decade (a logarithmic axis counts 20 log10 of its span).
 * `share`: a share of the plot's width, for quantities that are not levels.
 */
export type PanelHeight =
  | { readonly kind: 'ratio'; readonly dbPerDecade: number }
  | { readonly kind: 'share'; readonly ofWidth: number };

export interface Axis {
  readonly label: string;
  readonly unit: string;
  readonly scale: 'log' | 'linear';
  readonly domain: readonly [number, number];
  readonly ticks: readonly AxisTick[];
  /** Values of unlabelled grid lines. */
  readonly minor: readonly number[];
}

export interface AxisTick {
  readonly value: number;
  readonly text: string;
}

export type Dash = 'solid' | 'long' | 'short' | 'dots' | 'dash-dot';

export interface FigureSeries {
  readonly id: string;
  readonly label: string;
  /** For narrow drawings; explained in the key beneath. */
  readonly shortLabel: string;
  /** Position in the palette; 0 is ink. */
  readonly slot: number;
  readonly dash: Dash;
  readonly emphasis: 'main' | 'normal' | 'faint';
  readonly x: readonly number[];
  readonly y: readonly (number | null)[];
}

/** A stretch of frequency, or of the y quantity, that is shaded. */
export interface FigureZone {
  readonly axis: 'x' | 'y';
  readonly from: number;
  readonly to: number;
  readonly label: string;
}

/** A level worth seeing, such as 3 % distortion. */
export interface FigureGuide {
  readonly value: number;
  readonly label: string;
}

/** A finding, on the curve it belongs to. */
export interface FigureMark {
  readonly id: string;
  readonly number: number;
  /** The curve it stands on; without one, `y` says where. */
  readonly seriesId?: string;
  readonly atHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  readonly y?: number;
  readonly side: 'above' | 'below';
  /** Filled for what an equaliser can correct, a ring for what it cannot. */
  readonly filled: boolean;
  readonly text: string;
}

/** Levels over frequency (x) and angle (y). */
export interface FigureMap {
  readonly frequencyHz: readonly number[];
  /** Rising, in (-180, 180]. */
  readonly angleDeg: readonly number[];
  /** dB re on axis, one row per angle; `null` where not known. */
  readonly levelDb: readonly (readonly (number | null)[])[];
  /** The levels at the ends of the colour scale. */
  readonly colourDb: readonly [number, number];
  /** The contour drawn. */
  readonly contourDb: number;
}
