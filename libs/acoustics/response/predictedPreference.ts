import type { Curves, PredictedPreference } from '../analysis.js';
import { lowFrequencyExtensionHz } from './lowFrequencyExtensionHz.js';
import { narrowBandDeviation } from './narrowBandDeviation.js';
import { preferenceRating } from './preferenceRating.js';
import { smoothness } from './smoothness.js';

/** The extension at which bass costs nothing more (from memory). */
const IGNORING_BASS_HZ = 14.5;

/**
 * The predicted preference and its terms (Olive 2004, AES convention paper 6190).
 *
 * @returns undefined unless on-axis, listening window, sound power and estimated in-room curves exist and
 *   cover 100 Hz to at least 10 kHz
 */
export function predictedPreference(
  frequencyHz: ArrayLike<number>,
  { onAxis, listeningWindow, soundPower, estimatedInRoom }: Curves,
): PredictedPreference | undefined {
  if (!onAxis || !listeningWindow || !soundPower || !estimatedInRoom) return undefined;
  const nbdOnAxis = narrowBandDeviation(frequencyHz, onAxis);
  const nbdInRoom = narrowBandDeviation(frequencyHz, estimatedInRoom);
  const smInRoom = smoothness(frequencyHz, estimatedInRoom);
  const lowFrequencyHz = lowFrequencyExtensionHz(frequencyHz, listeningWindow, soundPower);
  if (nbdOnAxis === undefined || nbdInRoom === undefined) return undefined;
  if (smInRoom === undefined || lowFrequencyHz === undefined) return undefined;
  const terms = { nbdOnAxis, nbdInRoom, smInRoom, lowFrequencyHz };
  return {
    rating: preferenceRating(terms),
    ratingIgnoringBass: preferenceRating({ ...terms, lowFrequencyHz: IGNORING_BASS_HZ }),
    ...terms,
  };
}
