/** What the invented loudspeaker does when it gets loud. */
import type { AnalysisResult } from '../../acoustics/analysis.js';
import { bell, inventedGrid } from './inventedGrid.js';

export function inventedLoudness(): Pick<
  AnalysisResult,
  'distortion' | 'multitone' | 'compression' | 'loudestClean'
> {
  const frequencyHz = inventedGrid(12).filter((hz) => hz < 10_500);
  const percent = (gain: number, order: number) =>
    frequencyHz.map(
      (hz) => (gain / order ** 1.4) * (0.09 + 11 / (1 + (hz / 48) ** 2.2) + bell(hz, 1400, 0.5, 4)),
    );
  const distortion = [86, 96].map((levelDb) => {
    const gain = levelDb === 86 ? 1 : 2.6;
    const harmonics = {
      '2': percent(gain, 2),
      '3': percent(gain, 1.6),
      '4': percent(gain, 6),
      '5': percent(gain, 4),
    };
    const thdPercent = frequencyHz.map((_, index) =>
      Math.hypot(...Object.values(harmonics).map((values) => values[index] ?? 0)),
    );
    const over = frequencyHz.filter((_, index) => (thdPercent[index] ?? 0) > 3);
    const above3Percent = over.length > 0 ? [[over[0] ?? 20, over.at(-1) ?? 20] as const] : [];
    return { levelDb, frequencyHz, thdPercent, harmonicsPercent: harmonics, above3Percent };
  });
  const multitone = [76, 86, 96].map((levelDb, index) => ({
    levelDb,
    frequencyHz,
    distortionPercent: percent(0.4 * 2.2 ** index, 1.2),
    totalPercent: 0.6 * 2.2 ** index,
    above3Percent: [],
  }));
  const levels = [86, 91, 96, 101].map((levelDb, index) => ({
    levelDb,
    frequencyHz: inventedGrid(12),
    deviationDb: inventedGrid(12).map(
      (hz) =>
        -0.12 * index ** 1.7 - bell(hz, 38, 0.55 * index ** 1.5, 0.9) - bell(hz, 2600, 0.2 * index, 1.4),
    ),
  }));
  const compression = {
    referenceDb: 76,
    levels,
    above1Db: [{ levelDb: 101, fromHz: 25, toHz: 74, worstDb: -3.6 }],
  };
  const loudestClean = Array.from({ length: 30 }, (_, index) => {
    const centreHz = 1000 * 10 ** ((index - 16) / 10);
    const band = { centreHz, fromHz: centreHz * 10 ** -0.05, toHz: centreHz * 10 ** 0.05 };
    if (index < 2) return { ...band, limitedBy: 'distortion' as const, limitedAtDb: 86 };
    if (index < 6) return { ...band, levelDb: 86, limitedBy: 'distortion' as const, limitedAtDb: 96 };
    return { ...band, levelDb: index < 22 ? 101 : 96 };
  });
  return { distortion, multitone, compression, loudestClean };
}
