import { quote, type ProblemCode } from '../problem.js';
import { quantityOfUnit, type ColumnMeaning, type Quantity, type Unit } from './columnMeaning.js';
import type { FileContent } from './fileContent.js';

/** A column of the table that will be read. */
export interface WantedColumn {
  readonly index: number;
  readonly meaning: ColumnMeaning;
  /** Empty cells are allowed (upper harmonics end before the fundamental does). */
  readonly mayBeEmpty: boolean;
}

export interface Refusal {
  readonly code: ProblemCode;
  readonly message: string;
  readonly remedy: string;
}

export type ColumnChoice =
  | { readonly content: FileContent; readonly columns: readonly WantedColumn[]; readonly ignored: number }
  | Refusal;

/** The header of a table of many angles. */
export const ANGLE_HEADER = 'frequency_hz,h-170,...,h180,v-170,...,v180';

/** The quantities each content is made of: one of `main` is needed, `also` are read when they are there. */
const NEEDS: Readonly<
  Record<
    FileContent,
    { main: readonly Quantity[]; also: readonly Quantity[]; example: string; positions: number }
  >
> = {
  directivity: {
    main: ['level'],
    also: ['phase'],
    example: 'frequency_hz,magnitude_db,phase_deg',
    positions: 3,
  },
  'in-room': { main: ['level'], also: ['phase'], example: 'frequency_hz,magnitude_db', positions: 3 },
  compression: { main: ['level'], also: [], example: 'frequency_hz,magnitude_db', positions: 2 },
  impedance: {
    main: ['impedance', 'resistance'],
    also: ['phase', 'reactance'],
    example: 'frequency_hz,impedance_ohm,phase_deg',
    positions: 3,
  },
  distortion: {
    main: ['thd', 'harmonic'],
    also: ['level'],
    example: 'frequency_hz,thd_percent,h2_percent,h3_percent',
    positions: 2,
  },
  multitone: {
    main: ['distortion', 'thd'],
    also: [],
    example: 'frequency_hz,distortion_percent',
    positions: 2,
  },
  calibration: { main: ['deviation'], also: [], example: 'frequency_hz,deviation_db', positions: 2 },
};

const POSITIONAL: Readonly<Record<FileContent, readonly Quantity[]>> = {
  directivity: ['frequency', 'level', 'phase'],
  'in-room': ['frequency', 'level', 'phase'],
  compression: ['frequency', 'level'],
  impedance: ['frequency', 'impedance', 'phase'],
  distortion: ['frequency', 'thd'],
  multitone: ['frequency', 'distortion'],
  calibration: ['frequency', 'deviation'],
};

/**
 * Decides which columns to read: by header when there is one, else by position. Says no, with the header that
 * would be understood, rather than guess between two readings.
 */
export function chooseColumns(
  content: FileContent | undefined,
  header: readonly ColumnMeaning[] | undefined,
  dataCells: number,
): ColumnChoice {
  const angles = (header ?? []).filter((column) => column.angleDeg !== undefined);
  const angleTable =
    content === 'directivity' ? angles.length > 0 : content === undefined && saysAngles(angles);
  if (header !== undefined && angleTable) return angleColumns(header);
  if (content === undefined) {
    const remedy = `Head its columns ${ANGLE_HEADER}.`;
    return { code: 'name-not-understood', message: 'The headers name no angles.', remedy };
  }
  return header === undefined ? byPosition(content, dataCells) : byHeader(content, header);
}

/** A file of unknown name is an angle table only when that can't be a list of harmonics (h2, h3, ...). */
function saysAngles(angles: readonly ColumnMeaning[]): boolean {
  return angles.length >= 2 && angles.some((column) => !/^h[2-9]\b/i.test(column.header));
}

function angleColumns(header: readonly ColumnMeaning[]): ColumnChoice {
  const columns = header
    .map((meaning, index) => ({ index, meaning, mayBeEmpty: false }))
    .filter(({ meaning }) => meaning.quantity === 'frequency' || meaning.angleDeg !== undefined);
  const keys = columns.map(
    ({ meaning }) => `${meaning.quantity} ${meaning.orbit ?? ''} ${meaning.angleDeg ?? ''}`,
  );
  const twice = columns.find((_, at) => keys.indexOf(keys[at]) !== at);
  if (twice !== undefined) {
    return {
      code: 'columns-not-understood',
      message: `Two columns are headed as the same angle (${quote(twice.meaning.header)}).`,
      remedy: 'Correct the header, or remove one of the two columns.',
    };
  }
  return { content: 'directivity', columns, ignored: 0 };
}

function byPosition(content: FileContent, dataCells: number): ColumnChoice {
  const quantities = POSITIONAL[content];
  if (content === 'distortion' && dataCells > 2) {
    return {
      code: 'columns-not-understood',
      message: `There are ${dataCells} columns of numbers and no header says which is which.`,
      remedy: `Put a line above the data such as ${NEEDS[content].example}.`,
    };
  }
  const columns = quantities.slice(0, dataCells).map((quantity, index) => ({
    index,
    meaning: { quantity, header: `column ${index + 1}` },
    mayBeEmpty: false,
  }));
  return { content, columns, ignored: Math.max(0, dataCells - NEEDS[content].positions) };
}

function byHeader(content: FileContent, header: readonly ColumnMeaning[]): ColumnChoice {
  const needs = NEEDS[content];
  const named = nameUnnamed(content, header, needs.main[0]);
  const wanted = named
    .map((meaning, index) => ({ index, meaning, mayBeEmpty: meaning.quantity === 'harmonic' }))
    .filter(({ meaning }) => [...needs.main, ...needs.also, 'frequency'].includes(meaning.quantity));
  if (!wanted.some(({ meaning }) => needs.main.includes(meaning.quantity)))
    return missingColumn(content, header);
  const clash = wanted.find(
    ({ meaning }, at) => wanted.findIndex((other) => sameColumn(other.meaning, meaning)) !== at,
  );
  if (clash !== undefined) {
    return {
      code: 'columns-not-understood',
      message: `More than one column could be the ${clash.meaning.quantity} (${quote(clash.meaning.header)}).`,
      remedy: `Leave one, or say which in manifest.json under "columns"; expected ${needs.example}.`,
    };
  }
  return wrongUnit(content, wanted) ?? { content, columns: wanted, ignored: 0 };
}

function sameColumn(a: ColumnMeaning, b: ColumnMeaning): boolean {
  return a.quantity === b.quantity && a.order === b.order;
}

/**
 * Columns under a name of the operator's own: "Frequency; Left" leaves only one thing the other can be, and
 * "Left (dB); Left (deg)" are told by their units, where each unit stands alone.
 */
function nameUnnamed(
  content: FileContent,
  header: readonly ColumnMeaning[],
  main: Quantity,
): readonly ColumnMeaning[] {
  const unknown = header.filter((column) => column.quantity === 'unknown' && column.header !== '');
  const known = header.filter((column) => column.quantity !== 'unknown');
  if (unknown.length === 1 && known.length === 1 && unknown[0].unit === undefined) {
    return header.map((column) => (column === unknown[0] ? { ...column, quantity: main } : column));
  }
  return header.map((column) => {
    if (column.quantity !== 'unknown') return column;
    const quantity = quantityOfUnit(column.unit, content);
    const taken = known.some((other) => other.quantity === quantity);
    const alone = unknown.filter((other) => quantityOfUnit(other.unit, content) === quantity).length === 1;
    return taken || !alone ? column : { ...column, quantity };
  });
}

function missingColumn(content: FileContent, header: readonly ColumnMeaning[]): Refusal {
  const found = header
    .map((column) => quote(column.header, 24))
    .slice(0, 8)
    .join(', ');
  const other = header.find((column) => column.quantity !== 'frequency' && column.quantity !== 'unknown');
  const what = other?.quantity === 'distortion' ? 'distortion plus noise' : other?.quantity;
  const holds = what === undefined ? '' : ` (it seems to hold ${what})`;
  return {
    code: other === undefined ? 'columns-not-understood' : 'wrong-quantity',
    message: `No column is headed as ${content} data${holds}; the headers are ${found}.`,
    remedy: `Head the columns ${NEEDS[content].example}, or give their order in manifest.json under "columns".`,
  };
}

const UNITS_OF: Readonly<Partial<Record<Quantity, readonly Unit[]>>> = {
  frequency: ['hz', 'khz'],
  level: ['db'],
  deviation: ['db'],
  phase: ['deg', 'rad'],
  impedance: ['ohm'],
  resistance: ['ohm'],
  reactance: ['ohm'],
  thd: ['percent', 'db'],
  harmonic: ['percent', 'db'],
  distortion: ['percent', 'db'],
};

function wrongUnit(content: FileContent, columns: readonly WantedColumn[]): Refusal | undefined {
  for (const { meaning } of columns) {
    const allowed = UNITS_OF[meaning.quantity];
    if (meaning.unit === undefined || allowed === undefined || allowed.includes(meaning.unit)) continue;
    return {
      code: 'wrong-quantity',
      message: `Column ${quote(meaning.header)} is in another unit than ${allowed.join(' or ')}.`,
      remedy: `Export it again as ${NEEDS[content].example}.`,
    };
  }
  return undefined;
}
