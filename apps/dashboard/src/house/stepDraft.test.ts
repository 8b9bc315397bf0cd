import { describe, expect, it } from 'vitest';
import { defaultTemplates } from '../../../../libs/planning/loan/templates.js';
import type { StepTemplate } from '../contracts.js';
import { draftStep, stepDraft, stepKindOf } from './stepDraft.js';

const steps = Object.values(defaultTemplates).flat() as StepTemplate[];

describe('a step of the work as typed', () => {
  it('comes back as it was, whatever step of the usual ones it is', () => {
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
