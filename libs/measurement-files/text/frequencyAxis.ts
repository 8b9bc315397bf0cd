import { problem, type Problem } from '../problem.js';
import type { Table } from './readTable.js';

export interface CheckedTable {
  /** The table without a row at 0 Hz; its first column is rising frequency in Hz. */
  readonly table: Table;
  readonly droppedZero: boolean;
  readonly problems: readonly Problem[];
}

/** At least this many rows make a curve. */
const MIN_ROWS = 2;

/**
 * Checks the frequency column and puts it into Hz. The first row of each kind of fault is named with its line,
 * and how many more there are.
 */
export function frequencyAxis(file: string, table: Table): CheckedTable {
  const column = table.columns.find(({ meaning }) => meaning.quantity === 'frequency');
  const raw = column?.values ?? new Float64Array(0);
  const frequency = column?.meaning.unit === 'khz' ? raw.map((value) => value * 1000) : raw;
  const droppedZero = frequency[0] === 0;
  const problems = axisProblems(
    file,
    droppedZero ? frequency.subarray(1) : frequency,
    table.lines.subarray(droppedZero ? 1 : 0),
  );
  const columns = table.columns.map((other) => {
    const values = other === column ? frequency : other.values;
    return { meaning: other.meaning, values: droppedZero ? values.slice(1) : values };
  });
  const lines = droppedZero ? table.lines.slice(1) : table.lines;
  return { table: { ...table, columns, lines }, droppedZero, problems };
}

function axisProblems(file: string, frequency: Float64Array, lines: Int32Array): Problem[] {
  if (frequency.length < MIN_ROWS) {
    const message = `There ${frequency.length === 1 ? 'is only one row' : 'are no rows'} of data.`;
    return [
      problem(file, lines[0], 'too-few-rows', message, 'Export the whole curve, one row per frequency.'),
    ];
  }
  const negative: number[] = [];
  const duplicate: number[] = [];
  const falling: number[] = [];
  let highest = -Infinity;
  for (let row = 0; row < frequency.length; row += 1) {
    const hz = frequency[row];
    if (hz <= 0) negative.push(row);
    else if (hz === highest) duplicate.push(row);
    else if (hz < highest) falling.push(row);
    else highest = hz;
  }
  const name = (rows: readonly number[]) => `${frequency[rows[0]]} Hz`;
  const more = (rows: readonly number[]) => (rows.length > 1 ? `, and ${rows.length - 1} more like it` : '');
  const problems: Problem[] = [];
  const add = (rows: readonly number[], code: Problem['code'], message: string, remedy: string) => {
    if (rows.length > 0) problems.push(problem(file, lines[rows[0]], code, message, remedy));
  };
  add(
    negative,
    'frequency-negative',
    `The frequency ${name(negative)} is not above zero${more(negative)}.`,
    'Correct the frequency column.',
  );
  add(
    duplicate,
    'frequency-duplicate',
    `The frequency ${name(duplicate)} stands twice${more(duplicate)}.`,
    'Keep one row per frequency.',
  );
  add(
    falling,
    'frequency-not-rising',
    `The frequency ${name(falling)} is lower than an earlier one${more(falling)}.`,
    'Sort the rows by rising frequency.',
  );
  return problems;
}
