/** A step of a template as typed, and back. */
import type { StepTemplate } from '../contracts.js';
import { parseNumber } from '../words/numbers.js';

export interface StepDraft {
  readonly label: string;
  readonly minutes: string;
  readonly counted: 'unit' | 'sum' | 'most';
  readonly people: string;
  readonly place: string;
  readonly sessions: string;
  readonly sessionMinutes: string;
  readonly loud: boolean;
  readonly unattended: boolean;
  readonly separateDays: boolean;
  readonly needsUnit: boolean;
  readonly after: readonly string[];
}

const typed = (number: number | undefined): string => (number === undefined ? '' : String(number));

export function stepDraft(step: StepTemplate | null): StepDraft {
  return {
    label: step?.label ?? '',
    minutes: typed(step?.minutes ?? 60),
    counted: step === null || step.per === 'unit' ? 'unit' : (step.combine ?? 'sum'),
    people: typed(step?.people ?? 1),
    place: step?.place ?? '',
    sessions: typed(step?.sessions),
    sessionMinutes: typed(step?.sessionMinutes),
    loud: step?.loud ?? false,
    unattended: step?.unattended ?? false,
    separateDays: step?.separateDays ?? false,
    needsUnit: step?.needsUnit ?? true,
    after: step?.after ?? [],
  };
}

/** A new step's own name, from its label, unlike any other. */
export function stepKindOf(label: string, steps: readonly StepTemplate[]): string {
  const plain = label
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^[^a-z]+|-+$/g, '')
    .slice(0, 32);
  const base = plain === '' ? 'step' : plain;
  const taken = new Set(steps.map(({ kind }) => kind));
  let kind = base;
  for (let number = 2; taken.has(kind); number += 1) kind = `${base}-${number}`;
  return kind;
}

export type StepWrong = Partial<Record<'minutes' | 'people' | 'sessions' | 'sessionMinutes', string>>;

/** What the draft says; null while something cannot be read, with why in `wrong`. */
export function draftStep(
  draft: StepDraft,
  kind: string,
  was: StepTemplate | null,
): { step: StepTemplate | null; wrong: StepWrong } {
  const minutes = whole(draft.minutes, 0, 43_200);
  const people = whole(draft.people, 0, 4);
  const sessions = draft.sessions.trim() === '' ? undefined : whole(draft.sessions, 1, 20);
  const sessionMinutes =
    draft.sessionMinutes.trim() === '' ? undefined : whole(draft.sessionMinutes, 15, 1440);
  const wrong: StepWrong = {
    ...(minutes === null ? { minutes: 'A whole number of minutes.' } : {}),
    ...(people === null ? { people: 'A whole number from 0 to 4.' } : {}),
    ...(sessions === null ? { sessions: 'A whole number from 1 to 20.' } : {}),
    ...(sessionMinutes === null ? { sessionMinutes: 'From 15 minutes to a day (1440).' } : {}),
  };
  if (minutes === null || people === null || sessions === null || sessionMinutes === null)
    return { step: null, wrong };
  const step: StepTemplate = {
    kind,
    label: draft.label.trim(),
    minutes,
    per: draft.counted === 'unit' ? 'unit' : 'loan',
    ...(draft.counted === 'unit' ? {} : { combine: draft.counted }),
    after: [...draft.after],
    people,
    ...(draft.place === '' ? {} : { place: draft.place }),
    ...flag('loud', draft.loud, was),
    ...flag('unattended', draft.unattended, was),
    ...(sessionMinutes === undefined ? {} : { sessionMinutes }),
    ...(sessions === undefined ? {} : { sessions }),
    ...flag('separateDays', draft.separateDays, was),
    needsUnit: draft.needsUnit,
  };
  return { step: step.label === '' ? null : step, wrong };
}

/** Said only where it holds, or was said before. */
const flag = (key: 'loud' | 'unattended' | 'separateDays', on: boolean, was: StepTemplate | null) =>
  on || was?.[key] !== undefined ? { [key]: on } : {};

function whole(text: string, least: number, most: number): number | null {
  const number = parseNumber(text);
  return number !== null && Number.isInteger(number) && number >= least && number <= most ? number : null;
}
