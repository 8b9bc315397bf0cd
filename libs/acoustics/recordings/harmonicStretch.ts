import type { Stretch } from './fadedSegment.js';
import type { ObservedSweep } from './sweep.js';

/**
 * Of the time between two neighbouring orders this share goes to the later one's onset, the rest to the earlier
 * one's decay. The linear response gets more: the second harmonic's decay is weak beside it.
 */
const ONSET_SHARE = { linear: 0.5, harmonic: 0.3 };
const LONGEST_ONSET_SECONDS = 0.2;
const LONGEST_DECAY_SECONDS = { linear: 0.5, harmonic: 0.25 };

/**
 * The stretch around harmonic `order`'s arrival that holds its impulse response and nothing of its neighbours'.
 *
 * @param order 1 for the linear response; neighbouring orders lie L ln((n + 1) / n) apart (Farina 2000)
 * @returns samples, and by how many the order leads the linear response
 */
export function harmonicStretch(order: number, sweep: ObservedSweep): Stretch & { readonly lead: number } {
  const { riseSeconds, sampleRateHz } = sweep;
  const toHigher = riseSeconds * Math.log((order + 1) / order);
  const toLower = order === 1 ? Infinity : riseSeconds * Math.log(order / (order - 1));
  const longestDecay = order === 1 ? LONGEST_DECAY_SECONDS.linear : LONGEST_DECAY_SECONDS.harmonic;
  const onset = Math.min(onsetShare(order) * toHigher, LONGEST_ONSET_SECONDS);
  const decay = Math.min((1 - onsetShare(order - 1)) * toLower, longestDecay, sweep.seconds / 3);
  const before = Math.floor(onset * sampleRateHz);
  const after = Math.floor(decay * sampleRateHz);
  return {
    lead: Math.round(riseSeconds * Math.log(order) * sampleRateHz),
    before,
    after,
    fadeIn: before >> 1,
    fadeOut: after >> 2,
  };
}

function onsetShare(order: number): number {
  return order <= 1 ? ONSET_SHARE.linear : ONSET_SHARE.harmonic;
}
