/** The numbers at a glance as RFC 4180: one line a unit, values in full, a gap is an empty field. */
import Papa from 'papaparse';
import { archiveNumberNames, type PublicUnitContent } from '../contracts/index.js';

export function numbersCsv(units: readonly PublicUnitContent[]): string {
  const rows = units.map((unit) => [
    unit.makerName,
    unit.name,
    unit.kind,
    ...archiveNumberNames.map((name) => unit.numbers[name] ?? ''),
    unit.algorithmVersion,
    unit.invented ? 'invented data' : '',
  ]);
  const fields = ['maker', 'unit', 'kind', ...archiveNumberNames, 'algorithm', 'about'];
  return `${Papa.unparse({ fields, data: rows }, { newline: '\r\n', escapeFormulae: true })}\r\n`;
}
