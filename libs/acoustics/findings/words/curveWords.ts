import type { CurveName } from '../../analysis.js';

const WORDS: Partial<Record<CurveName, string>> = {
  onAxis: 'on axis',
  listeningWindow: 'the listening window',
  earlyReflections: 'the early reflections',
  soundPower: 'the sound power',
  estimatedInRoom: 'the estimated in-room curve',
  earlyReflectionsDirectivityIndex: 'the early reflections directivity index',
  soundPowerDirectivityIndex: 'the sound power directivity index',
};

/** A curve's name inside a sentence. */
export function curveWords(curve: CurveName): string {
  return WORDS[curve] ?? curve;
}
