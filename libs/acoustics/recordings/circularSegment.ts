/**
 * A stretch of a circular signal.
 *
 * @param start may be negative or beyond the end
 * @param length at most signal.length
 */
export function circularSegment(signal: Float32Array, start: number, length: number): Float32Array {
  const from = ((start % signal.length) + signal.length) % signal.length;
  const segment = new Float32Array(length);
  const head = signal.subarray(from, from + length);
  segment.set(head);
  segment.set(signal.subarray(0, length - head.length), head.length);
  return segment;
}
