import type { ImpulseExtent } from './scanImpulse.js';

/** The stretch of an impulse response that is transformed, in seconds about the arrival of the direct sound. */
export interface ImpulseWindow {
  readonly beforeSeconds: number;
  readonly afterSeconds: number;
  /** Half-cosine fade at either end, inside the window. */
  readonly fadeInSeconds: number;
  readonly fadeOutSeconds: number;
  /** What ended the window. */
  readonly endedBy: 'reflection' | 'stated-gate' | 'decay' | 'file';
  /** One period that fits between arrival and the middle of the fade-out: below it the window cannot tell. */
  readonly lowLimitHz: number;
}

const SHORTEST_BEFORE_SECONDS = 0.002;
/** Ungated windows reach at least so far (10 Hz), */
const SHORTEST_AFTER_SECONDS = 0.1;
/** and a little beyond the last of the decay. */
const DECAY_MARGIN = 1.25;
const FADE_OUT = { gated: 0.25, whole: 0.1 };

/**
 * One window for a set of impulse responses taken with the microphone and the room unchanged.
 *
 * A stated gate wins. Otherwise the earliest echoes found end it (the lower decile, when at least half of the responses
 * show one, so that a single odd file decides nothing); otherwise it reaches to the end of the decay, or of the
 * shortest file.
 *
 * @param extents at least one
 * @param reflectionsSeconds one per response asked for echoes; undefined where none was found
 * @param gateSeconds what the operator stated, from the arrival
 */
export function impulseWindow(
  extents: readonly ImpulseExtent[],
  reflectionsSeconds: readonly (number | undefined)[],
  gateSeconds?: number,
): ImpulseWindow {
  const available = Math.min(...extents.map((e) => (e.length - e.arrivalIndex) / e.sampleRateHz));
  const { afterSeconds, endedBy } = windowEnd(
    extents,
    commonReflection(reflectionsSeconds),
    gateSeconds,
    available,
  );
  const gated = endedBy === 'reflection' || endedBy === 'stated-gate';
  const fadeOutSeconds = afterSeconds * (gated ? FADE_OUT.gated : FADE_OUT.whole);
  const ahead = Math.max(...extents.map((e) => (e.arrivalIndex - e.startIndex) / e.sampleRateHz));
  const beforeSeconds = Math.max(SHORTEST_BEFORE_SECONDS, 2 * ahead);
  return {
    beforeSeconds,
    afterSeconds,
    fadeInSeconds: beforeSeconds / 2,
    fadeOutSeconds,
    endedBy,
    lowLimitHz: 1 / (afterSeconds - fadeOutSeconds / 2),
  };
}

function windowEnd(
  extents: readonly ImpulseExtent[],
  reflectionSeconds: number | undefined,
  gateSeconds: number | undefined,
  available: number,
): Pick<ImpulseWindow, 'afterSeconds' | 'endedBy'> {
  if (gateSeconds !== undefined && gateSeconds < available)
    return { afterSeconds: gateSeconds, endedBy: 'stated-gate' };
  if (reflectionSeconds !== undefined && reflectionSeconds < available)
    return { afterSeconds: reflectionSeconds, endedBy: 'reflection' };
  const decay = Math.max(...extents.map((e) => (e.endIndex - e.arrivalIndex) / e.sampleRateHz));
  const wanted = Math.max(SHORTEST_AFTER_SECONDS, DECAY_MARGIN * decay);
  return wanted < available
    ? { afterSeconds: wanted, endedBy: 'decay' }
    : { afterSeconds: available, endedBy: 'file' };
}

function commonReflection(reflectionsSeconds: readonly (number | undefined)[]): number | undefined {
  const found = reflectionsSeconds.filter((seconds) => seconds !== undefined).sort((a, b) => a - b);
  if (found.length === 0 || found.length < reflectionsSeconds.length / 2) return undefined;
  return found[Math.floor((found.length - 1) / 10)];
}
