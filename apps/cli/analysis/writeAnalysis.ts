import { mkdir, mkdtemp, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import type { AnalysisResult } from '../../../libs/acoustics/analysis.js';
import { equaliserCsv } from '../../../libs/acoustics/equaliser/equaliserCsv.js';
import type { MeasurementSet } from '../../../libs/acoustics/series.js';
import { drawAnalysisFigures } from '../../../libs/figures/drawAnalysisFigures.js';
import { sayConditions, sayProvenance } from './sayConditions.js';

/** Demo data says so in its conditions. */
const INVENTED = /\binvented\b/i;

/**
 * Writes `analysis.json`, every figure with its data (`NAME.svg`, `NAME.csv`) and the equaliser's filters
 * (`equaliser-filters.csv`) into a folder. All files are finished beside it first and then moved in, so that a
 * full disk or an interruption leaves no half a file.
 */
export async function writeAnalysis(
  folder: string,
  set: MeasurementSet,
  result: AnalysisResult,
): Promise<void> {
  const { conditions } = set;
  const stated = sayConditions(conditions);
  const figures = drawAnalysisFigures(result, {
    title: [conditions.unit, conditions.serial && `serial ${conditions.serial}`].filter(Boolean).join(', '),
    ...(stated === '' ? {} : { conditions: stated }),
    provenance: sayProvenance(result),
    invented: INVENTED.test(Object.values(conditions).join(' ')),
    theme: 'paper',
    size: 'screen',
  });
  const files: [string, string][] = [
    ['analysis.json', `${JSON.stringify(result, null, 1)}\n`],
    ...figures.flatMap(({ name, svg, csv }): [string, string][] => [
      [`${name}.svg`, svg],
      [`${name}.csv`, csv],
    ]),
  ];
  if (result.equaliser?.filters.length) files.push(['equaliser-filters.csv', equaliserCsv(result.equaliser)]);
  await mkdir(folder, { recursive: true });
  const unfinished = await mkdtemp(join(dirname(resolve(folder)), '.sojourn-writing-'));
  try {
    for (const [name, content] of files) await writeFile(join(unfinished, name), content);
    for (const [name] of files) await rename(join(unfinished, name), join(folder, name));
  } finally {
    await rm(unfinished, { recursive: true, force: true });
  }
}
