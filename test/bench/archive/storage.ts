/** What a unit takes, by what it is: files of the store once each, rows as PostgreSQL keeps them with their indexes. */
import type { Database } from '../../../libs/store/database.js';
import type { BaseUnit } from './bases.js';

export interface UnitStorage {
  readonly fileBytes: number;
  readonly seriesBytes: number;
  readonly figureBytes: number;
  /** Results, with their numbers, profiles and lists of figures. */
  readonly resultBytes: number;
  readonly publishedBytes: number;
  readonly otherRowBytes: number;
}

export async function unitStorage(
  { pool }: Database,
  bases: readonly BaseUnit[],
  units: number,
): Promise<UnitStorage> {
  const { rows } = await pool.query<{ table: string; bytes: string }>(
    `select relname as "table", pg_total_relation_size(oid) as "bytes" from pg_class
     where relkind = 'r' and relnamespace = 'public'::regnamespace`,
  );
  const of = (...tables: string[]) =>
    rows.filter(({ table }) => tables.includes(table)).reduce((sum, { bytes }) => sum + Number(bytes), 0) /
    units;
  const all = rows.reduce((sum, { bytes }) => sum + Number(bytes), 0) / units;
  const mean = (bytesOf: (base: BaseUnit) => number) =>
    bases.reduce((sum, base) => sum + bytesOf(base), 0) / bases.length;
  const sum = (list: readonly { bytes: number }[]) => list.reduce((total, { bytes }) => total + bytes, 0);
  return {
    fileBytes: mean(({ files }) => sum(files)),
    seriesBytes: mean(({ series }) => series.bytes),
    figureBytes: mean(({ figureFiles }) => sum(figureFiles)),
    resultBytes: of('Computation'),
    publishedBytes: of('Publication', 'PublishedUnit'),
    otherRowBytes: all - of('Computation', 'Publication', 'PublishedUnit'),
  };
}

const kilobytes = (bytes: number): string => `${(bytes / 1000).toPrecision(3)} kB`;

export const storageWords = (unit: UnitStorage): string =>
  `a unit takes ${kilobytes(unit.fileBytes)} of files as measured, ${kilobytes(unit.seriesBytes)} of series, ` +
  `${kilobytes(unit.figureBytes)} of figures, ${kilobytes(unit.resultBytes)} of results, ` +
  `${kilobytes(unit.publishedBytes)} of what is published of it and ${kilobytes(unit.otherRowBytes)} of other rows`;
