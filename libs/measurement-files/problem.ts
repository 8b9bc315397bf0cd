/**
 * A reason a file can't be read. Readers return problems; they do not throw for bad input, and a set with a
 * problem is not handed on half-read.
 */
export interface Problem {
  /** The file's name as the operator gave it. */
  readonly file: string;
  /** 1-based line of a text file. */
  readonly line?: number;
  readonly code: ProblemCode;
  /** One sentence: what is wrong. */
  readonly message: string;
  /** One sentence: what to do about it. */
  readonly remedy: string;
}

/** Stable ids; programs may branch on them, people never see them. */
export type ProblemCode =
  // the path, the archive, the set
  | 'not-found'
  | 'not-readable'
  | 'not-a-regular-file'
  | 'too-many-files'
  | 'file-too-large'
  | 'set-too-large'
  | 'path-too-deep'
  | 'unsafe-path'
  | 'archive-damaged'
  | 'archive-encrypted'
  | 'archive-method'
  | 'archive-link'
  | 'archive-nested'
  | 'archive-ratio'
  | 'archive-duplicate-name'
  | 'empty-set'
  // names and the manifest
  | 'name-not-understood'
  | 'kind-not-read'
  | 'level-missing'
  | 'stimulus-missing'
  | 'angle-missing'
  | 'manifest-syntax'
  | 'manifest-value'
  | 'manifest-file-missing'
  | 'manifest-duplicate'
  | 'microphone-unknown'
  // the command line
  | 'argument'
  | 'not-writable'
  // text
  | 'empty-file'
  | 'not-text'
  | 'line-too-long'
  | 'too-many-rows'
  | 'no-data-rows'
  | 'too-few-rows'
  | 'not-a-number'
  | 'not-finite'
  | 'missing-cell'
  | 'mixed-decimal-marks'
  | 'ambiguous-decimal-comma'
  | 'columns-not-understood'
  | 'wrong-quantity'
  | 'frequency-negative'
  | 'frequency-duplicate'
  | 'frequency-not-rising'
  | 'second-table'
  // audio
  | 'not-wav'
  | 'wav-truncated'
  | 'wav-header'
  | 'wav-format'
  | 'wav-empty'
  | 'wav-silent'
  | 'wav-channel'
  // SOFA
  | 'not-sofa'
  | 'sofa-convention'
  | 'sofa-shape'
  | 'sofa-value'
  | 'sofa-directions'
  | 'sofa-damaged';

/** Makes a problem. `line` may be undefined, and is then left out. */
export function problem(
  file: string,
  line: number | undefined,
  code: ProblemCode,
  message: string,
  remedy: string,
): Problem {
  return line === undefined ? { file, code, message, remedy } : { file, line, code, message, remedy };
}

/**
 * `FILE[:LINE]: what is wrong. What to do.` on one line. Control characters (a hostile file name may hold
 * some) are shown as escapes, so that a terminal is never driven by a file.
 */
export function formatProblem(p: Problem): string {
  const place = p.line === undefined ? p.file : `${p.file}:${p.line}`;
  return printable(`${place}: ${p.message} ${p.remedy}`);
}

/** The text with control and bidirectional-override characters written as `\u....`. */
export function printable(text: string): string {
  return text.replace(
    /[\p{Cc}\u202a-\u202e\u2066-\u2069\u2028\u2029]/gu,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** A short, printable quotation of something found in a file. */
export function quote(text: string, maximumLength = 40): string {
  const short = text.length > maximumLength ? `${text.slice(0, maximumLength)}...` : text;
  return `"${printable(short)}"`;
}
