/** Lifting a unit by hand, judged where it is taken up and where it is set down. */
import {
  recommendedWeightLimit,
  type Lift,
} from '../../../../libs/acoustics/cautions/recommendedWeightLimit.js';
import { parseNumber } from '../words/numbers.js';

export interface LiftDraft {
  readonly massKg: string;
  readonly reachCm: string;
  readonly fromCm: string;
  readonly toCm: string;
  readonly twistDeg: string;
  readonly grip: NonNullable<Lift['grip']>;
}
export type LiftField = Exclude<keyof LiftDraft, 'grip'>;
export type LiftPlan =
  | { readonly wrong: Partial<Record<LiftField, string>> }
  | {
      readonly limitKg: number;
      /** Of the two ends, the one that asks for less. */
      readonly tighterEnd: 'taking up' | 'setting down';
      /** The lifting index: mass over limit; above 1 it is more than one person should lift. */
      readonly index: number | null;
    };

const ranges: Readonly<Record<LiftField, readonly [least: number, most: number, unit: string]>> = {
  massKg: [0.1, 500, 'kg'],
  reachCm: [0, 150, 'cm'],
  fromCm: [0, 250, 'cm'],
  toCm: [0, 250, 'cm'],
  twistDeg: [0, 180, '°'],
};

/**
 * The limit at both ends, the smaller one counting: setting a cabinet down on a stand needs control, and then the
 * equation is evaluated at the destination too (NIOSH publication 94-110).
 */
export function planLift(draft: LiftDraft): LiftPlan {
  const wrong: Partial<Record<LiftField, string>> = {};
  const read = (field: LiftField): number | null => {
    const value = parseNumber(draft[field]);
    const [least, most, unit] = ranges[field];
    if (value === null && field === 'massKg') return null;
    if (value !== null && value >= least && value <= most) return value;
    wrong[field] = `Give a number from ${least} to ${most} ${unit}.`;
    return null;
  };
  const massKg = read('massKg');
  const [reach, from, to, twist] = [read('reachCm'), read('fromCm'), read('toCm'), read('twistDeg')];
  if (Object.keys(wrong).length > 0 || reach === null || from === null || to === null || twist === null)
    return { wrong };
  const lift = { horizontalCm: reach, travelCm: Math.abs(to - from), asymmetryDeg: twist, grip: draft.grip };
  const up = recommendedWeightLimit({ ...lift, verticalCm: from });
  const down = recommendedWeightLimit({ ...lift, verticalCm: to });
  const limitKg = Math.min(up, down);
  return {
    limitKg,
    tighterEnd: up <= down ? 'taking up' : 'setting down',
    index: massKg === null ? null : massKg / limitKg,
  };
}
