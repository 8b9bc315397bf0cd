import { describe, expect, it } from 'vitest';
import { unitKinds } from '../contracts/index.js';
import { measurementPlanFor, planState, type HeldData } from './measurementPlan.js';

const nothing: HeldData = {
  horizontalDeg: [],
  verticalDeg: [],
  impedance: false,
  distortionLevelsDb: [],
  multitone: false,
  compressionLevelsDb: [],
  blockingIn: [],
};
const round = Array.from({ length: 36 }, (_unused, index) => index * 10 - 170);

describe('the measurement plan', () => {
  it('asks every kind for something, each thing once', () => {
    for (const kind of unitKinds) {
      const codes = measurementPlanFor(kind).map(({ code }) => code);
      expect(codes.length).toBeGreaterThan(2);
      expect(new Set(codes).size).toBe(codes.length);
    }
  });

  it('asks no impedance of an active unit and no orbit of a subwoofer', () => {
    expect(measurementPlanFor('active').map(({ code }) => code)).not.toContain('impedance');
    expect(measurementPlanFor('subwoofer').map(({ code }) => code)).not.toContain('horizontal-orbit');
  });

  it('counts angles of several sets together and names the missing ones', () => {
    const half = { ...nothing, horizontalDeg: round.filter((angle) => angle < 0) };
    const rest = { ...nothing, horizontalDeg: round.filter((angle) => angle >= 0 && angle !== 40) };
    expect(planState('horizontal-orbit', { held: [half, rest], inWork: false })).toEqual({
      state: 'missing',
      stillMissing: 'missing 40 degrees',
    });
    const whole = { ...rest, horizontalDeg: [...rest.horizontalDeg, 40] };
    expect(planState('horizontal-orbit', { held: [half, whole], inWork: false }).state).toBe('complete');
  });

  it('lets the vertical orbit share the axis and the rear with the horizontal one', () => {
    const vertical = round.filter((angle) => angle !== 0 && angle !== 180);
    const held = { ...nothing, horizontalDeg: [0, 180], verticalDeg: vertical };
    expect(planState('vertical-orbit', { held: [held], inWork: false }).state).toBe('complete');
  });

  it('says faulty while a blocking finding stands, and in work while something is computed', () => {
    const blocked = { ...nothing, impedance: true, blockingIn: ['impedance' as const] };
    expect(planState('impedance', { held: [blocked], inWork: false }).state).toBe('faulty');
    expect(planState('impedance', { held: [nothing], inWork: true }).state).toBe('in-work');
  });

  it('marks only the data that a blocking finding touches', () => {
    const held = { ...nothing, impedance: true, multitone: true, blockingIn: ['multitone' as const] };
    expect(planState('impedance', { held: [held], inWork: false }).state).toBe('complete');
    expect(planState('multitone', { held: [held], inWork: false }).state).toBe('faulty');
    const unknown = { ...held, blockingIn: ['all' as const] };
    expect(planState('impedance', { held: [unknown], inWork: false }).state).toBe('faulty');
  });

  it('does not ask for one orbit again because of a fault in the other', () => {
    const held = { ...nothing, horizontalDeg: round, verticalDeg: round };
    const faulty = (fault: 'horizontal' | 'vertical' | 'directivity') =>
      ['horizontal-orbit', 'vertical-orbit', 'on-axis'].filter(
        (code) =>
          planState(code, { held: [{ ...held, blockingIn: [fault] }], inWork: false }).state === 'faulty',
      );
    expect(faulty('horizontal')).toEqual(['horizontal-orbit', 'on-axis']);
    expect(faulty('vertical')).toEqual(['vertical-orbit', 'on-axis']);
    expect(faulty('directivity')).toEqual(['horizontal-orbit', 'vertical-orbit', 'on-axis']);
  });

  it('wants two levels for compression', () => {
    const one = { ...nothing, compressionLevelsDb: [76] };
    expect(planState('compression', { held: [one], inWork: false }).stillMissing).toContain('only one level');
    const two = { ...nothing, compressionLevelsDb: [76, 96] };
    expect(planState('compression', { held: [two], inWork: false }).state).toBe('complete');
  });
});
