/**
 * THD_R, harmonics over the whole signal (IEC 60268-5, from memory), from THD_F, harmonics over the fundamental.
 *
 * @param thdFPercent percent, >= 0
 * @returns percent; less than 100 whatever the distortion
 * @example thdOverTotal(100) // 70.71...
 */
export function thdOverTotal(thdFPercent: number): number {
  return thdFPercent / Math.hypot(1, thdFPercent / 100);
}
