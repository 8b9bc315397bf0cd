import type { z } from 'zod';
import type { QualityFinding } from '../../acoustics/series.js';
import { sayBytes, type ReadLimits } from '../limits.js';
import { printable, problem, quote, type Problem } from '../problem.js';
import { decodeText } from '../text/decodeText.js';
import { lineOfJsonPath } from './lineOfJsonPath.js';
import { KNOWN_KEYS, manifestSchema, type Manifest } from './manifestSchema.js';

export interface ManifestReading {
  readonly manifest?: Manifest;
  /** The 1-based line on which the value at a JSON path stands. */
  readonly lineOf?: (path: readonly PropertyKey[]) => number;
  readonly quality: readonly QualityFinding[];
  readonly problems: readonly Problem[];
}

/** Reads `manifest.json`. Every fault is named with its JSON path and line; unknown keys are noted. */
export function readManifest(file: string, bytes: Uint8Array, limits: ReadLimits): ManifestReading {
  if (bytes.length > limits.manifestBytes) {
    const message = `The manifest has ${sayBytes(bytes.length)}; at most ${sayBytes(limits.manifestBytes)} are read.`;
    return failed(problem(file, undefined, 'file-too-large', message, 'List only the files of this set.'));
  }
  const decoded = decodeText(file, bytes);
  if (decoded.text === undefined)
    return { quality: [], problems: decoded.problem === undefined ? [] : [decoded.problem] };
  const parsed = parseJson(file, decoded.text);
  if ('problem' in parsed) return failed(parsed.problem);
  const result = manifestSchema.safeParse(parsed.value);
  if (!result.success) {
    const issues = result.error.issues.flatMap(flattenUnion);
    return { quality: [], problems: issues.map((issue) => issueProblem(file, decoded.text!, issue)) };
  }
  const lineOf = (path: readonly PropertyKey[]) => lineOfJsonPath(decoded.text!, path);
  return { manifest: result.data, lineOf, quality: unknownKeys(file, parsed.value), problems: [] };
}

function failed(fault: Problem): ManifestReading {
  return { quality: [], problems: [fault] };
}

function parseJson(file: string, text: string): { value: unknown } | { problem: Problem } {
  try {
    return { value: JSON.parse(text) as unknown };
  } catch (cause) {
    if (!(cause instanceof SyntaxError)) throw cause;
    const said = /position (\d+)/.exec(cause.message);
    // Without a position the text ended too early.
    const position = said === null ? text.length : Number(said[1]);
    const line = text.slice(0, position).split('\n').length;
    const message = `This is not well-formed JSON near ${quote(text.slice(position, position + 20).trim() || 'the end')}.`;
    const remedy = 'Check for a missing comma, quote or bracket on this line or the one above.';
    return { problem: problem(file, line, 'manifest-syntax', message, remedy) };
  }
}

type Issue = z.core.$ZodIssue;

/** Of a union only the branch that came nearest is worth a sentence; the union itself says "invalid input". */
function flattenUnion(issue: Issue): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  const nearest = issue.errors.toSorted((a, b) => depth(b) - depth(a))[0];
  return nearest.flatMap((inner) => flattenUnion({ ...inner, path: [...issue.path, ...inner.path] }));
}

function depth(issues: readonly Issue[]): number {
  return Math.max(...issues.map((issue) => issue.path.length));
}

function issueProblem(file: string, text: string, issue: Issue): Problem {
  const path = sayPath(issue.path);
  const value = JSON.stringify(valueAt(JSON.parse(text), issue.path)) ?? 'nothing';
  const found = printable(value.length > 60 ? `${value.slice(0, 60)}...` : value);
  const message = `${path} ${sayIssue(issue)}; found ${found}.`;
  return problem(file, lineOfJsonPath(text, issue.path), 'manifest-value', message, 'Correct the value.');
}

/** `files[3].angleDeg` */
function sayPath(path: readonly PropertyKey[]): string {
  const said = path.map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`)).join('');
  return said === '' ? 'The manifest' : said.replace(/^\./, '');
}

function sayIssue(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return `must be ${/^[ao]/.test(issue.expected) ? 'an' : 'a'} ${issue.expected}`;
    case 'invalid_value':
      return `must be one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`;
    case 'too_small':
      return issue.origin === 'string' || issue.origin === 'array'
        ? `must have at least ${issue.minimum} ${issue.origin === 'array' ? 'items' : 'characters'}`
        : `must be ${issue.inclusive === false ? 'above' : 'at least'} ${issue.minimum}`;
    case 'too_big':
      return issue.origin === 'string' || issue.origin === 'array'
        ? `must have at most ${issue.maximum} ${issue.origin === 'array' ? 'items' : 'characters'}`
        : `must be ${issue.inclusive === false ? 'below' : 'at most'} ${issue.maximum}`;
    case 'invalid_union':
      return `must be one of "exponential-sweep", "multitone"`;
    default:
      return issue.message;
  }
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (inner, key) =>
      typeof inner === 'object' && inner !== null && Object.hasOwn(inner, key)
        ? inner[key as never]
        : undefined,
    value,
  );
}

function unknownKeys(file: string, value: unknown): QualityFinding[] {
  const places: { path: string; value: unknown; known: readonly string[] }[] = [
    { path: '', value, known: KNOWN_KEYS.manifest },
    { path: 'conditions', value: valueAt(value, ['conditions']), known: KNOWN_KEYS.conditions },
  ];
  const files = valueAt(value, ['files']);
  if (Array.isArray(files)) {
    files.forEach((entry: unknown, at) => {
      places.push({ path: `files[${at}]`, value: entry, known: KNOWN_KEYS.file });
      places.push({
        path: `files[${at}].conditions`,
        value: valueAt(entry, ['conditions']),
        known: KNOWN_KEYS.conditions,
      });
    });
  }
  const unknown = places.flatMap(({ path, value, known }) =>
    typeof value === 'object' && value !== null
      ? Object.keys(value)
          .filter((key) => !known.includes(key))
          .map((key) => (path === '' ? key : `${path}.${key}`))
      : [],
  );
  if (unknown.length === 0) return [];
  const named = unknown
    .slice(0, 5)
    .map((key) => quote(key))
    .join(', ');
  const more = unknown.length > 5 ? ` and ${unknown.length - 5} more` : '';
  const message = `The manifest has keys that mean nothing here and were passed over: ${named}${more}. Check their spelling.`;
  return [{ severity: 'note', code: 'manifest-unknown-keys', message, file }];
}
