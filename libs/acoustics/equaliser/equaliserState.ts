import type { Curves, EqualiserState } from '../analysis.js';
import { present } from '../present.js';
import { fitLine } from '../response/fitLine.js';
import { inRoomTrend } from '../response/inRoomTrend.js';
import { predictedPreference } from '../response/predictedPreference.js';

/**
 * How the curves stand: the residual of the in-room trend (of the listening window's or the axis's where there is
 * none; of the whole of data that ends too low for a trend), and the predicted preference.
 */
export function equaliserState(frequencyHz: readonly number[], curves: Curves): EqualiserState {
  const { onAxis, listeningWindow, estimatedInRoom } = curves;
  return present({
    residualRmsDb: residualRmsDb(frequencyHz, estimatedInRoom ?? listeningWindow ?? onAxis ?? []),
    predictedPreference: predictedPreference(frequencyHz, curves)?.rating,
    onAxis,
    listeningWindow,
    estimatedInRoom,
  });
}

function residualRmsDb(frequencyHz: readonly number[], curve: readonly number[]): number {
  return (
    inRoomTrend(frequencyHz, curve)?.residualRmsDb ?? fitLine(frequencyHz.map(Math.log2), curve).residualRms
  );
}
