/** A lift as the revised NIOSH equation describes it. */
export interface Lift {
  /** Hands in front of the ankles, cm. */
  readonly horizontalCm: number;
  /** Hands above the floor at the start, cm. */
  readonly verticalCm: number;
  /** How far the load travels upwards or downwards, cm. */
  readonly travelCm: number;
  /** Twist of the body, degrees. */
  readonly asymmetryDeg?: number;
  /** How well the hands hold it: handles, a decent edge, or a slippery box. */
  readonly grip?: 'good' | 'fair' | 'poor';
}

const LOAD_CONSTANT_KG = 23;

/**
 * Recommended weight limit for one person lifting now and then (less than once in five minutes, so the
 * frequency factor is 1): 23 kg x HM x VM x DM x AM x CM, the revised NIOSH lifting equation (Waters,
 * Putz-Anderson, Garg, NIOSH publication 94-110).
 *
 * @returns kg; 0 where the equation forbids the lift (hands beyond 63 cm, above 175 cm, twist over 135
 *   degrees)
 * @throws RangeError when a measure is negative or not finite
 * @example recommendedWeightLimit({ horizontalCm: 40, verticalCm: 0, travelCm: 75, grip: 'fair' }) // 9.31
 */
export function recommendedWeightLimit(lift: Lift): number {
  const { horizontalCm, verticalCm, travelCm, asymmetryDeg = 0, grip = 'good' } = lift;
  for (const [name, value] of Object.entries({ horizontalCm, verticalCm, travelCm, asymmetryDeg })) {
    if (!Number.isFinite(value) || value < 0)
      throw new RangeError(`${name} must be 0 or more, not ${value}.`);
  }
  if (horizontalCm > 63 || verticalCm > 175 || travelCm > 175 || asymmetryDeg > 135) return 0;
  const horizontal = horizontalCm <= 25 ? 1 : 25 / horizontalCm;
  const vertical = 1 - 0.003 * Math.abs(verticalCm - 75);
  const travel = travelCm <= 25 ? 1 : 0.82 + 4.5 / travelCm;
  const asymmetry = 1 - 0.0032 * asymmetryDeg;
  return LOAD_CONSTANT_KG * horizontal * vertical * travel * asymmetry * coupling(grip, verticalCm);
}

function coupling(grip: NonNullable<Lift['grip']>, verticalCm: number): number {
  if (grip === 'poor') return 0.9;
  return grip === 'fair' && verticalCm < 75 ? 0.95 : 1;
}
