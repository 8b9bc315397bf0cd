import { describe, expect, it } from 'vitest';
import { planLift, type LiftDraft } from './liftPlan.js';
import { durationWords, planLoudSession } from './loudSession.js';

describe('a loud session', () => {
  // NIOSH publication 98-126: 88 dBA 4 h, 91 dBA 2 h.
  it('adds up the dose and what is left of the day', () => {
    const plan = planLoudSession([
      { id: 1, level: '88', minutes: '120' },
      { id: 2, level: '91', minutes: '30' },
    ]);
    expect(plan.percent).toBeCloseTo(75, 9);
    expect(plan.timeWeightedAverageDba).toBeCloseTo(85 + 10 * Math.log10(0.75), 9);
    expect(plan.exposures[0]?.leftMinutes).toBeCloseTo(60, 9);
    expect(plan.exposures[1]?.allowedMinutes).toBeCloseTo(120, 9);
    expect(plan.incomplete).toBe(false);
  });
  it('leaves nothing once the day is spent', () => {
    const plan = planLoudSession([
      { id: 1, level: '88', minutes: '240' },
      { id: 2, level: '91', minutes: '60' },
    ]);
    expect(plan.percent).toBeCloseTo(150, 9);
    expect(plan.exposures.map((exposure) => exposure.leftMinutes)).toEqual([0, 0]);
  });
  it('marks what it can’t read and counts the rest', () => {
    const plan = planLoudSession([
      { id: 1, level: 'loud', minutes: '10' },
      { id: 2, level: '94', minutes: '-5' },
      { id: 3, level: '94', minutes: '30' },
      { id: 4, level: '', minutes: '' },
    ]);
    expect(plan.exposures[0]?.wrongLevel).toMatch(/30 to 140 dBA/);
    expect(plan.exposures[1]?.wrongMinutes).toMatch(/0 to 1440/);
    expect(plan.percent).toBeCloseTo(50, 9);
    expect(plan.incomplete).toBe(true);
  });
  it('has no average while nothing is planned', () => {
    expect(planLoudSession([{ id: 1, level: '', minutes: '' }])).toMatchObject({
      percent: 0,
      timeWeightedAverageDba: null,
      incomplete: false,
    });
  });
  it('never rounds a limit up', () => {
    expect(durationWords(480)).toBe('8 h');
    expect(durationWords(151.19)).toBe('2 h 31 min');
    expect(durationWords(59.99)).toBe('59 min');
    expect(durationWords(1.4882)).toBe('1 min 29 s');
    expect(durationWords(0)).toBe('0 min');
    expect(durationWords(480 / 2 ** ((70 - 85) / 3))).toBe('all day');
  });
});

describe('a lift', () => {
  const draft: LiftDraft = {
    massKg: '12',
    reachCm: '40',
    fromCm: '0',
    toCm: '75',
    twistDeg: '0',
    grip: 'fair',
  };
  it('takes the tighter of both ends', () => {
    // 23 kg x 25/40 x 0.775 x (0.82 + 4.5/75) x 0.95 at the floor (NIOSH publication 94-110).
    expect(planLift(draft)).toMatchObject({ tighterEnd: 'taking up' });
    const plan = planLift(draft);
    expect('limitKg' in plan && plan.limitKg).toBeCloseTo(23 * 0.625 * 0.775 * 0.88 * 0.95, 9);
    expect('index' in plan && plan.index).toBeCloseTo(12 / 9.3136, 3);
    expect(planLift({ ...draft, fromCm: '75', toCm: '160' })).toMatchObject({ tighterEnd: 'setting down' });
  });
  it('forbids what the equation forbids', () => {
    expect(planLift({ ...draft, reachCm: '70' })).toMatchObject({ limitKg: 0, index: Infinity });
  });
  it('needs no mass, but every measure', () => {
    expect(planLift({ ...draft, massKg: '' })).toMatchObject({ index: null });
    expect(planLift({ ...draft, reachCm: '', toCm: 'high' })).toEqual({
      wrong: { reachCm: 'Give a number from 0 to 150 cm.', toCm: 'Give a number from 0 to 250 cm.' },
    });
  });
});
