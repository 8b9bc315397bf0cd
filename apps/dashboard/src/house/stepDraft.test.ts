import { describe, expect, it } from 'vitest';
import type { StepTemplate } from '../contracts.js';
import { draftStep, stepDraft, stepKindOf } from './stepDraft.js';

const steps: StepTemplate[] = [
  {
    kind: 'run-in',
    label: 'Run-in',
    minutes: 720,
    per: 'unit',
    after: ['unpack'],
    people: 0,
    unattended: true,
    needsUnit: true,
  },
  {
    kind: 'listening',
    label: 'Listening',
    minutes: 240,
    per: 'loan',
    combine: 'most',
    after: ['run-in', 'unpack'],
    people: 1,
    place: 'room',
    loud: false,
    sessions: 2,
    sessionMinutes: 180,
    separateDays: true,
    needsUnit: true,
  },
  {
    kind: 'film',
    label: 'Film and photograph',
    minutes: 180,
    per: 'loan',
    combine: 'sum',
    after: [],
    people: 2,
    sessionMinutes: 240,
    needsUnit: false,
  },
];

describe('a step of the work as typed', () => {
  it('comes back as it was', () => {
    for (const step of steps) {
      expect(draftStep(stepDraft(step), step.kind, step)).toEqual({ step, wrong: {} });
    }
  });
  it('is not sent while a number says nothing', () => {
    const draft = { ...stepDraft(null), label: 'Waterfall', minutes: 'long', people: '9' };
    const { step, wrong } = draftStep(draft, 'waterfall', null);
    expect(step).toBeNull();
    expect(Object.keys(wrong)).toEqual(['minutes', 'people']);
  });
  it('gets a name of its own', () => {
    expect(stepKindOf('Film, 2nd take', steps)).toBe('film-2nd-take');
    expect(stepKindOf('Film', steps)).toBe('film-2');
    expect(stepKindOf('…', steps)).toBe('step');
  });
});
