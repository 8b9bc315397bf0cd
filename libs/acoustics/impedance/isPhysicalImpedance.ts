/** A passive load's phase can't pass +-90; a hair is left for the meter. */
const MOST_PHASE_DEG = 91;

/** Whether one impedance reading can belong to a passive loudspeaker. */
export function isPhysicalImpedance(magnitudeOhm: number, phaseDeg = 0): boolean {
  return magnitudeOhm > 0 && Math.abs(phaseDeg) <= MOST_PHASE_DEG;
}
