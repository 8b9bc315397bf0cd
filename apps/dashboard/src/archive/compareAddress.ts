/** What the comparison shows, held in its address. */
import { asAddress, ComparisonQuery } from '../contracts.js';
import { readUnits } from './archiveAddress.js';
import type { Alignment, ComparedCurve } from './archiveWords.js';

export interface CompareAsk {
  readonly units: readonly string[];
  readonly curve: ComparedCurve;
  readonly alignment: Alignment;
}

const { curve, alignment } = ComparisonQuery.shape;

export function readCompare(address: URLSearchParams): CompareAsk {
  const chosenCurve = curve.safeParse(address.get('curve') ?? undefined);
  const chosenAlignment = alignment.safeParse(address.get('alignment') ?? undefined);
  return {
    units: readUnits(address.get('units')),
    curve: chosenCurve.success ? chosenCurve.data : curve.parse(undefined),
    alignment: chosenAlignment.success ? chosenAlignment.data : alignment.parse(undefined),
  };
}

export function comparePath({ units, ...look }: Pick<CompareAsk, 'units'> & Partial<CompareAsk>): string {
  return `/archive/compare?${asAddress({ units: units.join(','), ...look })}`;
}

/** Where the figure is kept ready, and drawn for downloading. */
export function compareLinks(ask: CompareAsk) {
  const asked = asAddress({ ...ask, units: ask.units.join(',') });
  const drawn = (form: string) => `/api/archive/comparison/figure.${form}?${asked}`;
  return {
    descriptionUrl: `/api/archive/comparison?${asked}`,
    svgUrl: drawn('svg'),
    pngUrl: drawn('png'),
    csvUrl: drawn('csv'),
  };
}
