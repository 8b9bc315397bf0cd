/**
 * One finding each for as many remarks as can be, so that the scores add up to the most there can be.
 * The Hungarian method with potentials (Kuhn 1955; this form after Jonker and Volgenant 1987, from memory).
 *
 * @param scores rows (remarks) by columns (findings), each 0..1
 * @returns for every row its column, or -1
 */
export function assign(scores: readonly (readonly number[])[]): number[] {
  const rows = scores.length;
  const columns = Math.max(rows, scores[0]?.length ?? 0);
  const cost = (row: number, column: number): number => 1 - (scores[row]?.[column] ?? 0);
  const rowPotential = new Float64Array(rows + 1);
  const columnPotential = new Float64Array(columns + 1);
  const rowOf = new Int32Array(columns + 1);
  for (let row = 1; row <= rows; row++) augment(row, columns, cost, rowPotential, columnPotential, rowOf);
  const columnOf = Array.from({ length: rows }, () => -1);
  for (let column = 1; column <= columns; column++) {
    const row = (rowOf[column] ?? 0) - 1;
    if (row >= 0 && (scores[row]?.[column - 1] ?? 0) > 0) columnOf[row] = column - 1;
  }
  return columnOf;
}

/** Brings one more row into the matching along the cheapest alternating path. Row and column 0 stand for none. */
function augment(
  row: number,
  columns: number,
  cost: (row: number, column: number) => number,
  rowPotential: Float64Array,
  columnPotential: Float64Array,
  rowOf: Int32Array,
): void {
  const cheapest = new Float64Array(columns + 1).fill(Infinity);
  const before = new Int32Array(columns + 1);
  const reached = new Uint8Array(columns + 1);
  rowOf[0] = row;
  let at = 0;
  do {
    reached[at] = 1;
    const from = rowOf[at] ?? 0;
    let next = 0;
    let step = Infinity;
    for (let column = 1; column <= columns; column++) {
      if (reached[column]) continue;
      const reduced = cost(from - 1, column - 1) - (rowPotential[from] ?? 0) - (columnPotential[column] ?? 0);
      if (reduced < (cheapest[column] ?? 0)) {
        cheapest[column] = reduced;
        before[column] = at;
      }
      if ((cheapest[column] ?? 0) < step) {
        step = cheapest[column] ?? 0;
        next = column;
      }
    }
    for (let column = 0; column <= columns; column++) {
      if (reached[column]) {
        rowPotential[rowOf[column] ?? 0] = (rowPotential[rowOf[column] ?? 0] ?? 0) + step;
        columnPotential[column] = (columnPotential[column] ?? 0) - step;
      } else cheapest[column] = (cheapest[column] ?? 0) - step;
    }
    at = next;
  } while (rowOf[at] !== 0);
  while (at !== 0) {
    const previous = before[at] ?? 0;
    rowOf[at] = rowOf[previous] ?? 0;
    at = previous;
  }
}
