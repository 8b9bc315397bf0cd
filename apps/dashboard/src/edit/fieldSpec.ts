/**
 * A record's editable fields as a list: one description gives the form, the facts and the view of two versions.
 * A draft holds what the person typed, as text, until it is saved.
 */
import { clockWords, fromLocalField, shortDay, toLocalField } from '../words/dates.js';
import { formatQuantity, money, parseMoney, parseNumber } from '../words/numbers.js';

export interface FieldSpec<R> {
  readonly key: keyof R & string;
  readonly label: string;
  readonly kind:
    'text' | 'area' | 'link' | 'day' | 'instant' | 'number' | 'whole' | 'money' | 'choice' | 'check';
  readonly hint?: string;
  readonly unit?: string;
  readonly required?: boolean;
  /** Empty text is sent as null instead of as empty text. */
  readonly nullable?: boolean;
  /** For `choice`; an empty value stands for not decided. */
  readonly options?: readonly { readonly value: string; readonly words: string }[];
  /** For `money`: the key of the currency. */
  readonly currencyKey?: keyof R & string;
  readonly wide?: boolean;
  /** What stands in the facts when there is nothing; a check's words when it does not hold. */
  readonly none?: string;
}
export type FieldSpecs<R> = readonly FieldSpec<R>[];
export type Draft = Readonly<Record<string, string | boolean>>;
export type Values = Readonly<Record<string, unknown>>;

export function draftOf<R extends object>(record: R, specs: FieldSpecs<R>): Draft {
  return Object.fromEntries(specs.map((spec) => [spec.key, typed(record[spec.key] as Plain, spec)]));
}

/** What a record's field may hold. */
type Plain = string | number | boolean | null | undefined;

function typed<R>(value: Plain, spec: FieldSpec<R>): string | boolean {
  if (spec.kind === 'check') return value === true;
  if (value === null || value === undefined) return '';
  if (spec.kind === 'instant') return toLocalField(String(value));
  if (spec.kind === 'money') return (Number(value) / 100).toFixed(2);
  return String(value);
}

/** What the draft says, as the server takes it; `wrong` names fields that say nothing usable. */
export function valuesOf<R>(
  draft: Draft,
  specs: FieldSpecs<R>,
): { values: Values; wrong: Record<string, string> } {
  const wrong: Record<string, string> = {};
  const values: Record<string, unknown> = {};
  for (const spec of specs) {
    const read = valueOf(draft[spec.key] ?? '', spec);
    if (read.wrong !== undefined) wrong[spec.key] = read.wrong;
    else values[spec.key] = read.value;
  }
  return { values, wrong };
}

type ReadValue = { readonly value: unknown; readonly wrong?: undefined } | { readonly wrong: string };

function valueOf<R>(text: string | boolean, spec: FieldSpec<R>): ReadValue {
  if (typeof text === 'boolean') return { value: text };
  if (spec.required && text.trim() === '') return { wrong: 'This is needed.' };
  switch (spec.kind) {
    case 'number':
      return numeric(parseNumber(text), 'Write a number, such as 86.5.');
    case 'whole': {
      const number = parseNumber(text);
      if (number !== null && !Number.isInteger(number)) return { wrong: 'Write a whole number, such as 14.' };
      return { value: number };
    }
    case 'money':
      return numeric(parseMoney(text), 'Write an amount, such as 1250 or 1250.00.');
    case 'instant':
      return { value: fromLocalField(text) };
    case 'day':
      return { value: text === '' ? null : text };
    case 'choice':
      return { value: text === '' ? null : text };
    default:
      return { value: text.trim() === '' && spec.nullable ? null : text.trim() };
  }
}

function numeric(number: number | null, wrong: string): ReadValue {
  return Number.isNaN(number) ? { wrong } : { value: number };
}

/** A value as people read it; null when there is nothing to read. */
export function wordsOf<R>(record: R, spec: FieldSpec<R>, today: string): string | null {
  const value = record[spec.key] as Plain;
  if (spec.kind === 'check') return value === true ? 'yes' : (spec.none ?? 'no');
  if (value === null || value === undefined || value === '') return null;
  switch (spec.kind) {
    case 'day':
      return shortDay(String(value), today);
    case 'instant':
      return clockWords(String(value), today);
    case 'number':
    case 'whole':
      return formatQuantity(Number(value), spec.unit ?? '');
    case 'money':
      return money(Number(value), String(spec.currencyKey ? record[spec.currencyKey] : ''));
    case 'choice':
      return spec.options?.find((option) => option.value === value)?.words ?? String(value);
    default:
      return String(value);
  }
}
