/** What all figures of one unit share, and the one place a description is put together. */
import type {
  Dash,
  FigureDescription,
  FigurePanel,
  FigureSeries,
  FigureZone,
  FigureGuide,
  FigureMark,
} from '../description.js';
import { outsideNotes } from './outsideNotes.js';

/** What is said on every figure. */
export interface FigureContext {
  /** The unit or units shown. */
  readonly title: string;
  /** How it was measured, such as `1 m, 2.83 V, grille off`. */
  readonly conditions?: string;
  /** Input hashes, algorithm version, settings, in one line. */
  readonly provenance?: string;
  readonly invented: boolean;
}

export interface FigureDraft {
  readonly name: string;
  readonly title: string;
  readonly panels: readonly FigurePanel[];
  readonly notes?: readonly string[];
  readonly summary: string;
}

/** A description from its draft; adds a note for whatever the axes cannot hold, so nothing is cut off silently. */
export function makeFigure(draft: FigureDraft, context: FigureContext): FigureDescription {
  return {
    schema: 'sojourn.figure/1',
    name: draft.name,
    title: draft.title,
    ...(context.title === '' ? {} : { subtitle: context.title }),
    panels: draft.panels,
    notes: [...(draft.notes ?? []), ...draft.panels.flatMap(outsideNotes)],
    ...(context.conditions === undefined ? {} : { conditions: context.conditions }),
    ...(context.provenance === undefined ? {} : { provenance: context.provenance }),
    invented: context.invented,
    summary: draft.summary,
  };
}

export interface PanelParts {
  readonly id: string;
  readonly x: FigurePanel['x'];
  readonly y: FigurePanel['y'];
  readonly height: FigurePanel['height'];
  readonly series: readonly FigureSeries[];
  readonly zones?: readonly FigureZone[];
  readonly guides?: readonly FigureGuide[];
  readonly marks?: readonly FigureMark[];
}

/** A panel of curves, with empty lists for whatever it lacks. */
export function makePanel(parts: PanelParts): FigurePanel {
  return { ...parts, zones: parts.zones ?? [], guides: parts.guides ?? [], marks: parts.marks ?? [] };
}

export interface SeriesLook {
  readonly slot: number;
  readonly dash: Dash;
  readonly emphasis?: FigureSeries['emphasis'];
}

/**
 * A curve. Arrays of unequal length are cut to the shorter; values that are not finite become gaps, as do points at
 * frequencies that are not above zero.
 */
export function makeSeries(
  id: string,
  label: string,
  shortLabel: string,
  look: SeriesLook,
  x: readonly number[],
  y: readonly (number | null | undefined)[],
): FigureSeries {
  const kept = Math.min(x.length, y.length);
  const frequencies = x.slice(0, kept);
  const values = y.slice(0, kept).map((value, index) => {
    const usable = typeof value === 'number' && Number.isFinite(value) && (frequencies[index] ?? 0) > 0;
    // Adding 0 turns a negative zero into zero, which JSON and CSV cannot tell apart.
    return usable ? value + 0 : null;
  });
  return { id, label, shortLabel, emphasis: 'normal', ...look, x: frequencies, y: values };
}

/** All values of some curves within the frequency axis, for choosing an axis. */
export function valuesWithin(series: readonly FigureSeries[], fromHz: number, toHz: number): number[] {
  const values: number[] = [];
  for (const { x, y } of series) {
    for (let index = 0; index < x.length; index += 1) {
      const hz = x[index] ?? NaN;
      const value = y[index] ?? null;
      if (value !== null && hz >= fromHz && hz <= toHz) values.push(value);
    }
  }
  return values;
}
