/** A turntable told to stop at 30 may report 29.7: within this it counts as 30. */
const SNAP_DEG = 0.5;

/**
 * The angle in (-180, 180], on the 10 degree raster where it is within half a degree of it, else to a tenth.
 *
 * @example nominalAngleDeg(330) // -30
 */
export function nominalAngleDeg(angleDeg: number): number {
  let wrapped = angleDeg % 360;
  if (wrapped <= -180) wrapped += 360;
  if (wrapped > 180) wrapped -= 360;
  const raster = Math.round(wrapped / 10) * 10;
  const snapped = Math.abs(wrapped - raster) <= SNAP_DEG ? raster : Math.round(wrapped * 10) / 10;
  // -180 and -0 are 180 and 0.
  return snapped === -180 ? 180 : snapped + 0;
}
