/**
 * How unsmooth a quantity is from 0 to 180 degrees: the sum of squared departures of every reading, ends
 * left out, from the cubic through its two neighbours to each side. Beyond the ends the orbit goes on as
 * its other half.
 *
 * @param values 0, 10 .. 180 degrees: 19 of them
 * @param parity 1 where the other half is the same, -1 where it is the opposite
 */
export function halfOrbitRoughness(values: readonly number[], parity: 1 | -1): number {
  const last = values.length - 1;
  const at = (index: number): number => {
    if (index < 0) return parity * values[-index];
    return index > last ? parity * values[2 * last - index] : values[index];
  };
  let sum = 0;
  for (let k = 1; k < last; k += 1) {
    const expected = (4 * (at(k - 1) + at(k + 1)) - at(k - 2) - at(k + 2)) / 6;
    sum += (values[k] - expected) ** 2;
  }
  return sum;
}
