/**
 * How far off the axis a seat may stand at a distance before it leaves an angle: distance x tan(angle).
 *
 * @param distanceM straight ahead from the loudspeaker to the row of seats
 * @returns metres to one side; undefined from 90 degrees on, where the whole row is covered
 * @example seatOffsetM(3, 45) // 3
 */
export function seatOffsetM(distanceM: number, angleDeg: number): number | undefined {
  return angleDeg >= 90 ? undefined : distanceM * Math.tan((angleDeg * Math.PI) / 180);
}
