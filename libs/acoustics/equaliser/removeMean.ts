/** Takes the mean off `values`, in place. */
export function removeMean(values: Float64Array): void {
  let sum = 0;
  for (const value of values) sum += value;
  const mean = sum / values.length;
  for (let i = 0; i < values.length; i++) values[i] -= mean;
}
