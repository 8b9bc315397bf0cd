/**
 * Bessel function of the first kind, order one, from its integral (1/pi) int cos(t - x sin t) dt, 0..pi.
 * The trapezoid rule on a periodic integrand converges to rounding error once there are more points than
 * about |x| + 20.
 */
export function besselJ1(x: number): number {
  const points = Math.ceil(Math.abs(x)) + 24;
  let sum = (1 + Math.cos(Math.PI)) / 2;
  for (let k = 1; k < points; k += 1) {
    const t = (Math.PI * k) / points;
    sum += Math.cos(t - x * Math.sin(t));
  }
  return sum / points;
}
