/** What a remark that no finding explains most likely comes from. No claim of audibility, only where to look first. */
import { isTurned } from './reasonOf.js';
import { sayBand } from './sayFrequency.js';
import type { HeardOnly, HeardRemark, MeasuredFinding } from './types.js';
import type { Claim } from './understandRemark.js';

/** Below this the room rules [common practice, no source]. */
const ROOM_BELOW_HZ = 500;

export function heardOnly(
  remark: HeardRemark,
  claim: Claim,
  findings: readonly MeasuredFinding[],
): HeardOnly {
  const say = (likelyCause: HeardOnly['likelyCause'], reason: string): HeardOnly => ({
    remarkId: remark.id,
    likelyCause,
    reason,
  });
  if (claim.denied)
    return say('said-to-be-absent', 'The remark says that the fault is absent, so there is nothing to find.');
  if (!claim.band) {
    return claim.strained
      ? say(
          'level',
          'Strain comes with level: look at distortion and compression at the level it was played at.',
        )
      : say('no-frequency', 'The remark says nothing of where in frequency: add a descriptor or a range.');
  }
  const where = sayBand(claim.band.fromHz, claim.band.toHz);
  const against = findings.some(
    ({ fromHz, toHz }) => claim.band && fromHz < claim.band.toHz && toHz > claim.band.fromHz,
  );
  const nothing = against
    ? `What is measured from ${where} goes the other way or is small`
    : `Nothing is measured from ${where}`;
  const middle = Math.sqrt(claim.band.fromHz * claim.band.toHz);
  if (middle < ROOM_BELOW_HZ) {
    const place = remark.position ? ` (${remark.position})` : '';
    return say(
      'room',
      `${nothing}; under 500 Hz the room is the first suspect: try another placement or seat${place}.`,
    );
  }
  if (isTurned(remark.position)) {
    return say(
      'placement',
      `${nothing} on the curves compared; it was heard turned or to the side, so look at the curve of that angle.`,
    );
  }
  if (claim.strained)
    return say('level', `${nothing}; strain comes with level: look at distortion and compression there.`);
  return say(
    'programme',
    `${nothing}; the recording, the seat's height or a reflection near the seat may do it: try other programme and another seat.`,
  );
}
