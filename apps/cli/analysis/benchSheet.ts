import type { AnalysisResult } from '../../../libs/acoustics/analysis.js';
import type { MeasurementSet, QualityFinding } from '../../../libs/acoustics/series.js';
import { printable } from '../../../libs/measurement-files/problem.js';
import { loudSections } from './loudSections.js';
import { responseSections } from './responseSections.js';
import { sayConditions, sayProvenance } from './sayConditions.js';
import { paragraph, section, type Section } from './sheetLayout.js';

/** The result as a sheet to keep with the unit: what was measured, what came out, what is wrong with the data. */
export function benchSheet(path: string, set: MeasurementSet, result: AnalysisResult): string {
  const sections: (Section | undefined)[] = [
    measured(path, set, result),
    ...responseSections(result),
    ...loudSections(result),
    quality(result.quality),
  ];
  return sections
    .filter((one) => one !== undefined)
    .map(section)
    .join('\n');
}

function measured(path: string, { conditions }: MeasurementSet, result: AnalysisResult): Section {
  const unit = [conditions.unit, conditions.serial && `serial ${conditions.serial}`]
    .filter(Boolean)
    .join(', ');
  const stated = sayConditions(conditions);
  return {
    title: `Analysis of ${printable(path)}`,
    rows: [
      ...(unit === '' ? [] : [['Unit', printable(unit)] as const]),
      ['Conditions', stated === '' ? 'none stated' : printable(stated)],
      ['Files', sayFiles(result)],
      ['Computed by', sayProvenance(result)],
    ],
  };
}

/** "72 directivity, 1 impedance". */
function sayFiles({ inputs }: AnalysisResult): string {
  const counts = new Map<string, number>();
  for (const { role } of inputs) counts.set(role, (counts.get(role) ?? 0) + 1);
  return [...counts].map(([role, count]) => `${count} ${role}`).join(', ');
}

const SEVERITY: readonly (readonly [QualityFinding['severity'], string])[] = [
  ['blocking', 'BLOCKING'],
  ['check', 'check'],
  ['note', 'note'],
];

function quality(findings: readonly QualityFinding[]): Section {
  const blocking = findings.filter(({ severity }) => severity === 'blocking').length;
  const verdict =
    blocking > 0
      ? `The unit should not leave: ${blocking} ${blocking === 1 ? 'finding blocks' : 'findings block'} its return.`
      : 'Nothing in the data keeps the unit here.';
  const said = SEVERITY.flatMap(([severity, word]) =>
    findings
      .filter((finding) => finding.severity === severity)
      .map(({ message, file }) => paragraph(`${word}: ${file === undefined ? '' : `${file}: `}${message}`)),
  );
  return { title: 'Quality of the data', rows: [], text: [verdict, ...said.map(printableLines)] };
}

/** Line breaks are ours; what files said between them is not. */
function printableLines(text: string): string {
  return text.split('\n').map(printable).join('\n');
}
