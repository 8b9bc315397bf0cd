import type { QualityFinding } from '../../acoustics/series.js';
import type { ReadLimits } from '../limits.js';
import { ACCEPTED_NAMES } from '../fileName.js';
import { problem, type Problem, type ProblemCode } from '../problem.js';
import { ANGLE_HEADER } from './chooseColumns.js';
import type { FileTask, Reading } from '../reading.js';
import { decodeText } from './decodeText.js';
import { frequencyAxis } from './frequencyAxis.js';
import { readTable, type Table } from './readTable.js';
import { tableToSeries } from './tableToSeries.js';

/**
 * Reads one delimited-text file as what `task` says it is.
 *
 * Frequencies must be finite, not negative and strictly rising; a first row at 0 Hz (the constant part of a
 * spectrum) is left out with a note, because no octave scale reaches it.
 */
export function readTextFile(task: FileTask, limits: ReadLimits): Reading {
  const decoded = decodeText(task.file, task.bytes);
  if (decoded.text === undefined)
    return { problems: orUnnamed(task, decoded.problem ? [decoded.problem] : []) };
  const { table, problems } = readTable(task.file, decoded.text, task.content, task.columns, limits);
  if (table === undefined) return { problems: orUnnamed(task, problems) };
  const axis = frequencyAxis(task.file, table);
  if (axis.problems.length > 0) return { problems: axis.problems };
  const missing = missingStatement(task, table);
  if (missing !== undefined) return { problems: [missing] };
  const reading = tableToSeries(task, axis.table);
  return {
    ...reading,
    content: table.content,
    quality: [...notesOf(task, table, axis.droppedZero), ...(reading.quality ?? [])],
  };
}

/** Faults that leave open whether the file is a measurement at all. */
const SAYS_NOTHING: ReadonlySet<ProblemCode> = new Set([
  'name-not-understood',
  'no-data-rows',
  'empty-file',
  'not-text',
  'line-too-long',
]);

/** Of a file whose name says nothing and whose content is no table of angles, the name is what is wrong. */
function orUnnamed(task: FileTask, problems: readonly Problem[]): readonly Problem[] {
  if (task.content !== undefined || problems.some(({ code }) => !SAYS_NOTHING.has(code))) return problems;
  const message = 'Neither the name nor the column headers say what this file holds.';
  const remedy =
    `Name it like ${ACCEPTED_NAMES}, list it in manifest.json, ` +
    `or head its columns ${ANGLE_HEADER}. If it is no measurement, leave it out.`;
  return [problem(task.file, undefined, 'name-not-understood', message, remedy)];
}

/** What neither the name, the manifest nor the header said, although this content needs it. */
function missingStatement(task: FileTask, table: Table): Problem | undefined {
  const holdsAngles = table.columns.some(({ meaning }) => meaning.angleDeg !== undefined);
  if (
    table.content === 'directivity' &&
    !holdsAngles &&
    (task.orbit === undefined || task.angleDeg === undefined)
  ) {
    const message = 'Nothing says which orbit and angle this response was taken at.';
    const remedy = 'Name it like h+030.csv, or give "orbit" and "angleDeg" in manifest.json.';
    return problem(task.file, undefined, 'angle-missing', message, remedy);
  }
  const needsLevel =
    table.content === 'distortion' || table.content === 'multitone' || table.content === 'compression';
  if (needsLevel && task.levelDb === undefined) {
    const message = `Nothing says at which level this ${table.content} was taken.`;
    const remedy = `Name it like ${table.content}_86db.csv, or give "levelDb" in manifest.json.`;
    return problem(task.file, undefined, 'level-missing', message, remedy);
  }
  return undefined;
}

function notesOf(task: FileTask, table: Table, droppedZero: boolean): QualityFinding[] {
  const notes: QualityFinding[] = [];
  const note = (code: string, message: string) =>
    notes.push({ severity: 'note', code, message, file: task.file });
  if (droppedZero)
    note('zero-frequency-row', 'The row at 0 Hz was left out: it has no place on an octave scale.');
  if (table.ignoredColumns > 0) {
    const many =
      table.ignoredColumns === 1 ? 'One further column has' : `${table.ignoredColumns} further columns have`;
    note(
      'columns-without-header',
      `${many} no header and ${table.ignoredColumns === 1 ? 'was' : 'were'} not read.`,
    );
  }
  return notes;
}
