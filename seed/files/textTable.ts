import { textFile, type DataFile } from './dataFile.js';

/** How a table of numbers is written down; measuring set-ups differ in exactly these ways. */
export interface TextStyle {
  readonly separator: ',' | ';' | '\t' | ' ';
  readonly decimal: '.' | ',';
  readonly lineEnd: '\n' | '\r\n';
  readonly byteOrderMark: boolean;
  readonly extension: 'csv' | 'txt';
  /** Mark in front of comment lines; a bare line of words is understood as well. */
  readonly commentMark: '#' | '*' | '';
}

export const PLAIN_STYLE: TextStyle = {
  separator: ',',
  decimal: '.',
  lineEnd: '\n',
  byteOrderMark: false,
  extension: 'csv',
  commentMark: '#',
};

export interface Column {
  readonly header: string;
  readonly values: ArrayLike<number>;
  readonly decimals: number;
}

export const INVENTED_LINE = 'Invented demo data, computed from a model: no such product exists';

/** A table with one line per frequency; `baseName` gets the style's extension. */
export function tableFile(
  baseName: string,
  style: TextStyle,
  comments: readonly string[],
  columns: readonly Column[],
): DataFile {
  const mark = style.commentMark === '' ? '' : `${style.commentMark} `;
  const lines = [INVENTED_LINE, ...comments].map((comment) => mark + comment);
  lines.push(columns.map((column) => column.header).join(style.separator));
  const rows = columns[0]?.values.length ?? 0;
  for (let row = 0; row < rows; row++) {
    const cells = columns.map((column) => written(column.values[row] ?? Number.NaN, column.decimals, style));
    lines.push(cells.join(style.separator));
  }
  const text = lines.join(style.lineEnd) + style.lineEnd;
  return textFile(`${baseName}.${style.extension}`, (style.byteOrderMark ? '\uFEFF' : '') + text);
}

function written(value: number, decimals: number, style: TextStyle): string {
  const text = value.toFixed(decimals);
  return style.decimal === ',' ? text.replace('.', ',') : text;
}

export function frequencyColumn(frequencyHz: ArrayLike<number>): Column {
  return { header: 'frequency_hz', values: frequencyHz, decimals: 3 };
}
