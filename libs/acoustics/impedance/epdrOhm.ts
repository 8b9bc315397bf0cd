/**
 * Equivalent peak dissipation resistance: the resistor that would heat an ideal class-B output stage, at
 * the peak, as much as this impedance does.
 *
 * With rails at +-Vs and full swing the stage dissipates p = (Vs^2/|Z|)(1 - sin t) sin(t - phi), highest at
 * t = 150 deg + 2|phi|/3; a resistor R peaks at Vs^2/(4R). Hence
 * EPDR = |Z| / (8 sin^3(30 deg + |phi|/3)). Derived; the tests search the peak on a fine grid.
 *
 * @param magnitudeOhm |Z|, positive
 * @param phaseDeg -90..90
 * @example epdrOhm(8, 45) // 2.828427
 */
export function epdrOhm(magnitudeOhm: number, phaseDeg: number): number {
  return magnitudeOhm / (8 * Math.sin(((30 + Math.abs(phaseDeg) / 3) * Math.PI) / 180) ** 3);
}
