import type { InRoomTrend } from '../analysis.js';
import { fitLine } from './fitLine.js';

const FROM_HZ = 500;
const LEAST_OCTAVES = 3;

/**
 * Straight line through the estimated in-room curve against log2 f, from 500 Hz to the end of the data,
 * least squares. A falling response has a negative slope.
 *
 * @returns undefined when less than three octaves lie above 500 Hz
 */
export function inRoomTrend(
  frequencyHz: ArrayLike<number>,
  estimatedInRoom: ArrayLike<number>,
): InRoomTrend | undefined {
  const octaves: number[] = [];
  const levels: number[] = [];
  let firstHz = 0;
  for (let i = 0; i < frequencyHz.length; i += 1) {
    if (frequencyHz[i] < FROM_HZ * (1 - 1e-9)) continue;
    if (octaves.length === 0) firstHz = frequencyHz[i];
    octaves.push(Math.log2(frequencyHz[i] / 1000));
    levels.push(estimatedInRoom[i]);
  }
  const toHz = frequencyHz[frequencyHz.length - 1] ?? 0;
  if (octaves.length < 3 || Math.log2(toHz / firstHz) < LEAST_OCTAVES) return undefined;
  const line = fitLine(octaves, levels);
  return {
    fromHz: Math.abs(firstHz / FROM_HZ - 1) < 0.03 ? FROM_HZ : firstHz,
    toHz,
    slopeDbPerOctave: line.slope,
    interceptDb: line.intercept,
    residualRmsDb: line.residualRms,
  };
}
