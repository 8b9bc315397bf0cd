const RADIANS = Math.PI / 180;

/**
 * Share of the sphere that one reading of one half-orbit stands for.
 *
 * The sphere is cut by the two planes at 45 degrees through the front-back axis, so each of the four
 * half-orbits owns a quarter; within it a 10 degree cell about angle t covers
 * w(t) = [asin(cos(t - 5)/sqrt 2) - asin(cos(t + 5)/sqrt 2)] / 2 pi, half a cell at 0 and 180. Derived from
 * solid angle; the weights ANSI/CTA-2034-A tabulates follow the same cut. The weights of one half-orbit's
 * 19 readings sum to a quarter, so the single on-axis and the single rear reading each count four times.
 *
 * @param angleDeg distance from the axis, 0..180, a multiple of 10
 * @example soundPowerWeight(90) // 0.019629373
 */
export function soundPowerWeight(angleDeg: number): number {
  const nearer = Math.max(0, angleDeg - 5) * RADIANS;
  const farther = Math.min(180, angleDeg + 5) * RADIANS;
  return (
    (Math.asin(Math.cos(nearer) / Math.SQRT2) - Math.asin(Math.cos(farther) / Math.SQRT2)) / (2 * Math.PI)
  );
}
