import type { QualityEvidence, QualityFinding } from '../series.js';
import { impulseLevels } from './impulseLevels.js';
import { type ImpulseWindow, impulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';

const ENDED_BY: Readonly<Record<ImpulseWindow['endedBy'], string>> = {
  reflection: 'where the first reflection begins',
  'stated-gate': 'as stated',
  decay: 'when the sound has died away',
  file: 'at the end of the file',
};

/**
 * States the window on the impulse responses and the frequency below which it cannot tell, with the response
 * nearest the axis as evidence: through the window, and through the whole file where that differs.
 *
 * @param impulses at least one
 */
export function windowNote(impulses: readonly LocatedImpulse[], window: ImpulseWindow): QualityFinding {
  const before = (1000 * window.beforeSeconds).toPrecision(2);
  const after = (1000 * window.afterSeconds).toPrecision(3);
  const limit = window.lowLimitHz.toPrecision(2);
  const evidence = windowEvidence(impulses, window);
  return {
    severity: 'note',
    code: 'impulse-window',
    message:
      `Impulse responses were read from ${before} ms before the direct sound to ${after} ms after it, ` +
      `${ENDED_BY[window.endedBy]}. One period of ${Number(limit)} Hz fits in: below that the window cannot tell, and nothing is reported.`,
    ...(evidence ? { evidence } : {}),
  };
}

function windowEvidence(
  impulses: readonly LocatedImpulse[],
  window: ImpulseWindow,
): QualityEvidence | undefined {
  const nearest = impulses.reduce((best, other) =>
    Math.abs(other.angleDeg) < Math.abs(best.angleDeg) ? other : best,
  );
  const gated = window.endedBy === 'reflection' || window.endedBy === 'stated-gate';
  const through = impulseLevels(nearest, window, () => 0);
  if (!through || !gated) return undefined;
  const open = impulseWindow([nearest.extent], [undefined]);
  const whole = impulseLevels(nearest, open, () => 0);
  if (!whole) return undefined;
  const skipped = whole.frequencyHz.length - through.frequencyHz.length;
  const missing = Array.from({ length: Math.max(0, skipped) }, () => null);
  return {
    title: `${nearest.source.file}: through the window and without it`,
    unit: 'dB',
    frequencyHz: [...whole.frequencyHz],
    curves: [
      { label: 'through the window', values: [...missing, ...through.levelDb] },
      { label: 'whole file', values: [...whole.levelDb] },
    ],
  };
}
