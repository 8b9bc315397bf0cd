import type { QualityEvidence, QualityFinding } from '../series.js';
import { impulseCurve } from './impulseCurve.js';
import { impulseGridHz } from './impulseGridHz.js';
import { type ImpulseWindow, impulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';

const ENDED_BY: Readonly<Record<ImpulseWindow['endedBy'], string>> = {
  reflection: 'where the first reflection begins',
  'stated-gate': 'as stated',
  decay: 'when the sound has died away',
  file: 'at the end of the file',
};

/** Without this much of the bass neither F3 nor the slope of most loudspeakers can be read (common practice, no source). */
const BASS_NEEDED_FROM_HZ = 100;

/**
 * States the window on the impulse responses and the frequency below which it cannot tell, with the response
 * nearest the axis as evidence: through the window, and through the whole file where that differs. A window too
 * short for the bass is a finding of its own.
 *
 * @param impulses at least one
 */
export function windowFindings(impulses: readonly LocatedImpulse[], window: ImpulseWindow): QualityFinding[] {
  const before = Number((1000 * window.beforeSeconds).toPrecision(2));
  const after = Number((1000 * window.afterSeconds).toPrecision(3));
  const limit = `${Number(window.lowLimitHz.toPrecision(2))} Hz`;
  const found = windowEvidence(impulses, window);
  const evidence = found ? { evidence: found } : {};
  const note: QualityFinding = {
    severity: 'note',
    code: 'impulse-window',
    message:
      `Impulse responses were read from ${before} ms before the direct sound to ${after} ms after it, ` +
      `${ENDED_BY[window.endedBy]}. One period of ${limit} fits in: below that the window cannot tell, and nothing is reported.`,
    ...evidence,
  };
  if (window.lowLimitHz <= BASS_NEEDED_FROM_HZ) return [note];
  const short: QualityFinding = {
    severity: 'check',
    code: 'short-window',
    message:
      `The window on the impulse responses ends ${after} ms after the direct sound, too short for anything below ${limit}. ` +
      'Measure the bass with a longer window: further from reflecting surfaces, outdoors, or close to the driver.',
    ...evidence,
  };
  return [note, short];
}

function windowEvidence(
  impulses: readonly LocatedImpulse[],
  window: ImpulseWindow,
): QualityEvidence | undefined {
  const nearest = impulses.reduce((best, other) =>
    Math.abs(other.angleDeg) < Math.abs(best.angleDeg) ? other : best,
  );
  const gated = window.endedBy === 'reflection' || window.endedBy === 'stated-gate';
  const throughHz = impulseGridHz(nearest, window);
  const open = impulseWindow([nearest.extent], [undefined]);
  const wholeHz = impulseGridHz(nearest, open);
  if (!gated || throughHz.length < 2 || wholeHz.length < 2) return undefined;
  const through = impulseCurve(nearest, window, throughHz, () => 0);
  const whole = impulseCurve(nearest, open, wholeHz, () => 0);
  const skipped = wholeHz.length - throughHz.length;
  const missing = Array.from({ length: Math.max(0, skipped) }, () => null);
  return {
    title: `${nearest.source.file}: through the window and without it`,
    unit: 'dB',
    frequencyHz: [...wholeHz],
    curves: [
      { label: 'through the window', values: [...missing, ...through.levelDb] },
      { label: 'whole file', values: [...whole.levelDb] },
    ],
  };
}
