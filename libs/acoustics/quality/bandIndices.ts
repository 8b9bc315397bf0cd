/** Indices of the bands whose centre lies within the range, edges included. */
export function bandIndices(bandHz: readonly number[], fromHz: number, toHz: number): number[] {
  return bandHz.flatMap((hz, at) => (hz >= fromHz * 0.99 && hz <= toHz * 1.01 ? [at] : []));
}
