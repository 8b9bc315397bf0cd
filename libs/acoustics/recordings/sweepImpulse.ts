import type { LocatedImpulse } from './locatedImpulse.js';
import { fadedSegment } from './fadedSegment.js';
import { harmonicStretch } from './harmonicStretch.js';
import type { SweepReading } from './readSweep.js';
import { scanImpulse } from './scanImpulse.js';

const LONGEST_SECONDS = 1.5;
/** Harmonics up to the tenth stand ahead of the linear response, that is, at the end of the circle. */
const HIGHEST_ORDER = 10;

/**
 * The linear response of a recorded sweep, as an impulse response with the ideal one beside it.
 *
 * @returns undefined when nothing finite was recorded
 */
export function sweepImpulse(
  reading: SweepReading,
): Pick<LocatedImpulse, 'samples' | 'extent' | 'bandHz' | 'ideal'> | undefined {
  const { deconvolved, transform, bandHz } = reading;
  const { sweep, size, ideal } = transform;
  const { before } = harmonicStretch(1, sweep);
  const harmonics = Math.ceil(sweep.riseSeconds * Math.log(HIGHEST_ORDER) * sweep.sampleRateHz);
  const free = Math.max(size - before - harmonics, size >> 3);
  const after = Math.min(Math.round(LONGEST_SECONDS * sweep.sampleRateHz), free);
  const stretch = { before, after, fadeIn: before >> 1, fadeOut: 0 };
  const samples = fadedSegment(deconvolved.response, deconvolved.arrivalIndex, stretch);
  const perfect = fadedSegment(ideal.response, 0, stretch);
  const extent = scanImpulse(samples, sweep.sampleRateHz);
  const idealExtent = scanImpulse(perfect, sweep.sampleRateHz);
  if (!extent || !idealExtent) return undefined;
  return { samples, extent, bandHz, ideal: { samples: perfect, extent: idealExtent } };
}
