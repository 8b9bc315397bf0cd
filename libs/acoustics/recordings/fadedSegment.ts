import { circularSegment } from './circularSegment.js';
import { halfCosine } from './halfCosine.js';

/** A stretch of a circular signal about `centre`, with half-cosine fades inside its ends; all in samples. */
export interface Stretch {
  readonly before: number;
  readonly after: number;
  readonly fadeIn: number;
  readonly fadeOut: number;
}

/**
 * Cuts a stretch out and fades it.
 *
 * @param centre may lie outside the signal, which is circular
 * @returns stretch.before + stretch.after samples
 */
export function fadedSegment(signal: Float32Array, centre: number, stretch: Stretch): Float32Array {
  const segment = circularSegment(signal, centre - stretch.before, stretch.before + stretch.after);
  const rise = halfCosine(stretch.fadeIn);
  const fall = halfCosine(stretch.fadeOut);
  const last = segment.length - 1;
  for (let i = 0; i < stretch.fadeIn; i++) segment[i] *= rise[i];
  for (let i = 0; i < stretch.fadeOut; i++) segment[last - i] *= fall[i];
  return segment;
}
