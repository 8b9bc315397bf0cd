const KEPT = 8;
const made = new Map<number, Float32Array>();

/**
 * A rise from 0 to 1 along half a cosine, sampled at the middles of `length` equal steps. Kept for reuse, as all
 * responses of a set are faded alike; not to be written to.
 */
export function halfCosine(length: number): Float32Array {
  const known = made.get(length);
  if (known) return known;
  const rise = Float32Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / length));
  const [oldest] = made.keys();
  if (made.size >= KEPT && oldest !== undefined) made.delete(oldest);
  made.set(length, rise);
  return rise;
}
