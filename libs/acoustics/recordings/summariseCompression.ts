import type { Compression } from '../analysis.js';
import { valueAtHz } from '../grid/valueAtHz.js';
import type { CompressionSeries } from '../series.js';
import { zonesBeyond } from './zonesBeyond.js';

/** About 1 dB short of the step asked for is significant (common practice, no source). */
const SIGNIFICANT_DB = 1;
/** Narrower than this, in octaves, is a null or noise rather than a band that compresses. */
const NARROWEST_OCTAVES = 1 / 12;

/**
 * How far the response falls short as the level rises: response minus the lowest level's, less the level step.
 * Negative deviations are compression.
 *
 * @returns undefined with fewer than two levels that share a frequency range
 */
export function summariseCompression(series: readonly CompressionSeries[]): Compression | undefined {
  const usable = series.filter(({ frequencyHz }) => frequencyHz.length > 1);
  const [reference, ...louder] = [...usable].sort((a, b) => a.levelDb - b.levelDb);
  if (!reference) return undefined;
  const levels = louder
    .filter(({ levelDb }) => levelDb > reference.levelDb)
    .map((one) => deviationOf(one, reference))
    .filter(({ frequencyHz }) => frequencyHz.length > 1);
  if (levels.length === 0) return undefined;
  return { referenceDb: reference.levelDb, levels, above1Db: levels.flatMap(compressedZones) };
}

type Level = Compression['levels'][number];

function deviationOf(louder: CompressionSeries, reference: CompressionSeries): Level {
  const step = louder.levelDb - reference.levelDb;
  const [lowest, highest] = [
    reference.frequencyHz[0],
    reference.frequencyHz[reference.frequencyHz.length - 1],
  ];
  const deviations = Array.from(louder.frequencyHz, (hz, i) => ({
    hz,
    db: louder.responseDb[i] - valueAtHz(reference.frequencyHz, reference.responseDb, hz) - step,
  })).filter(({ hz, db }) => hz >= lowest && hz <= highest && Number.isFinite(db));
  return {
    levelDb: louder.levelDb,
    frequencyHz: deviations.map(({ hz }) => hz),
    deviationDb: deviations.map(({ db }) => db),
  };
}

function compressedZones({ levelDb, frequencyHz, deviationDb }: Level): Compression['above1Db'] {
  const lost = deviationDb.map((db) => -db);
  return zonesBeyond(frequencyHz, lost, SIGNIFICANT_DB)
    .filter(([fromHz, toHz]) => Math.log2(toHz / fromHz) >= NARROWEST_OCTAVES)
    .map(([fromHz, toHz]) => {
      const inside = deviationDb.filter((_, i) => frequencyHz[i] >= fromHz && frequencyHz[i] <= toHz);
      return { levelDb, fromHz, toHz, worstDb: Math.min(...inside) };
    });
}
