import type { Conditions, MeasurementSet, QualityFinding, SeriesSource } from '../series.js';
import type { QualityContext } from './qualityContext.js';

type Named = 'grille' | 'unit' | 'serial' | 'referenceAxis';

const CODES: Readonly<Record<Named, string>> = {
  grille: 'grille-mixed',
  unit: 'unit-mismatch',
  serial: 'serial-mismatch',
  referenceAxis: 'reference-axis-mixed',
};

/** Files that state another unit, serial number, grille or reference axis than the rest of the set. */
export function conditionsDiffer({ set }: QualityContext): QualityFinding[] {
  const sources = allSources(set);
  return (Object.keys(CODES) as Named[]).flatMap((name) => disagreement(set, sources, name));
}

function disagreement(set: MeasurementSet, sources: readonly SeriesSource[], name: Named): QualityFinding[] {
  const filesByValue = new Map<string, string[]>();
  for (const { file, conditions } of sources) {
    const value = stated(conditions?.[name] ?? set.conditions[name]);
    if (value !== undefined) filesByValue.set(value, [...(filesByValue.get(value) ?? []), file]);
  }
  if (filesByValue.size < 2) return [];
  const [usual, ...others] = [...filesByValue].sort((one, other) => other[1].length - one[1].length);
  return others.map(([value, files]) => ({
    severity: 'blocking',
    code: CODES[name],
    message: wording(name, value, files, usual[0]),
    file: files[0],
  }));
}

function wording(name: Named, value: string, files: readonly string[], usual: string): string {
  const which = files.length === 1 ? files[0] : `${files[0]} and ${files.length - 1} more`;
  switch (name) {
    case 'grille':
      return `The grille is ${value} in ${which} but ${usual} in the other files. Measure ${files.length === 1 ? 'it' : 'them'} again with the grille ${usual}.`;
    case 'unit':
      return `${which} names the unit "${value}", the other files "${usual}". Make sure no other unit's file has slipped in.`;
    case 'serial':
      return `${which} names serial number ${value}, the other files ${usual}. Measure all of a set on one unit.`;
    case 'referenceAxis':
      return `${which} was taken on the axis "${value}", the other files on "${usual}". Measure all of a set about one axis.`;
  }
}

function stated(value: Conditions[Named]): string | undefined {
  const text = value?.trim();
  return text === undefined || text === '' ? undefined : text;
}

function allSources(set: MeasurementSet): SeriesSource[] {
  const groups = [
    set.angles,
    set.impulses,
    set.recordings,
    set.impedance,
    set.distortion,
    set.multitone,
    set.compression,
  ];
  const byFile = new Map<string, SeriesSource>();
  for (const { source } of groups.flat()) byFile.set(`${source.file} ${source.column ?? ''}`, source);
  return [...byFile.values()];
}
