/**
 * Edges of the cells about the points of an evenly spaced logarithmic grid: halfway between neighbours.
 *
 * @param gridHz at least two points, rising by one ratio
 * @returns gridHz.length + 1 rising frequencies
 */
export function cellEdgesHz(gridHz: Float64Array): Float64Array {
  const half = Math.sqrt(gridHz[1] / gridHz[0]);
  const edges = new Float64Array(gridHz.length + 1);
  edges[0] = gridHz[0] / half;
  for (let i = 0; i < gridHz.length; i++) edges[i + 1] = gridHz[i] * half;
  return edges;
}
