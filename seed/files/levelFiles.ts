import { fromDecibels } from '../physics/complex.js';
import { compressedResponse } from '../physics/compressedResponse.js';
import { harmonicDistortion } from '../physics/harmonicDistortion.js';
import { multitoneDistortion } from '../physics/multitoneDistortion.js';
import { playerFor, type Player } from '../physics/playback.js';
import { bellShaped, type Random } from '../physics/random.js';
import { exponentialSweep, multitone, THIRD_OCTAVES_HZ } from '../physics/stimulus.js';
import type { ManifestEntry } from './manifestFile.js';
import { smallRipple } from './measuredResponse.js';
import type { SetContext, WrittenPart } from './setContext.js';
import type { LevelRecipe } from './recipe.js';
import { frequencyColumn, tableFile } from './textTable.js';
import { wavFile } from './wavFile.js';

const NOTHING: WrittenPart = { files: [], entries: [] };
/** All level tests stand at 1 m, whatever the orbits' distance was. */
const COMMENT = 'at 1 m on the reference axis';

/** Distortion, multitone and compression files. */
export function levelFiles(context: SetContext): WrittenPart {
  let player: Player | undefined;
  const playerAt = (sampleRateHz: number) =>
    (player ??= playerFor(context.axis, sampleRateHz, RECORDING_SIZE));
  const parts = [
    context.parts.has('distortion') ? distortionFiles(context, playerAt) : NOTHING,
    context.parts.has('multitone') ? multitoneFiles(context, playerAt) : NOTHING,
    context.parts.has('compression') ? compressionFiles(context) : NOTHING,
  ];
  return { files: parts.flatMap((part) => part.files), entries: parts.flatMap((part) => part.entries) };
}

/** Made ready once for all recordings of a set, which share their sample rate. */
type PlayerAt = (sampleRateHz: number) => Player;

function distortionFiles(context: SetContext, playerAt: PlayerAt): WrittenPart {
  const { distortion, style, unitName } = context.recipe;
  if (distortion.form === 'recording') return sweepRecordings(context, distortion, playerAt);
  const files = distortion.levelsDb.map((levelDb) => {
    const name = `distortion_${levelDb}db`;
    const made = harmonicDistortion(context.axis, levelDb);
    const random = context.randomFor(name);
    const spread = made.secondPercent.map(() => 1 + 0.02 * bellShaped(random));
    const second = made.secondPercent.map((percent, bin) => percent * spread[bin]);
    const third = made.thirdPercent.map((percent, bin) => percent * spread[bin]);
    return tableFile(
      name,
      style,
      [`${unitName}, ${levelDb} dB ${COMMENT}`],
      [
        frequencyColumn(context.grid.frequencyHz),
        {
          header: 'thd_percent',
          values: second.map((percent, bin) => Math.hypot(percent, third[bin])),
          decimals: 4,
        },
        { header: 'h2_percent', values: second, decimals: 4 },
        { header: 'h3_percent', values: third, decimals: 4 },
      ],
    );
  });
  return {
    files,
    entries: files.map((file, index) => levelEntry(file.name, 'distortion', distortion, index)),
  };
}

function levelEntry(
  file: string,
  role: 'distortion' | 'multitone',
  recipe: LevelRecipe,
  index: number,
): ManifestEntry {
  const levelDb = recipe.levelsDb[index];
  return { file, role, ...(levelDb !== undefined && { levelDb }), conditions: { distanceM: 1 } };
}

function multitoneFiles(context: SetContext, playerAt: PlayerAt): WrittenPart {
  const { multitone: recipe, style, unitName, fromHz, toHz } = context.recipe;
  if (recipe.form === 'recording') return multitoneRecordings(context, recipe, playerAt);
  const bands = THIRD_OCTAVES_HZ.filter((hz) => hz >= fromHz && hz <= toHz);
  const files = recipe.levelsDb.map((levelDb) => {
    const name = `multitone_${levelDb}db`;
    const distortion = multitoneDistortion(context.axis, levelDb);
    const perBand = bands.map((hz) => distortion[nearest(context.grid.frequencyHz, hz)]);
    return tableFile(
      name,
      style,
      [`${unitName}, multitone at ${levelDb} dB ${COMMENT}`],
      [frequencyColumn(bands), { header: 'distortion_percent', values: perBand, decimals: 4 }],
    );
  });
  return { files, entries: files.map((file, index) => levelEntry(file.name, 'multitone', recipe, index)) };
}

function nearest(frequencyHz: Float64Array, hz: number): number {
  const above = frequencyHz.findIndex((frequency) => frequency >= hz * 0.999);
  return above < 0 ? frequencyHz.length - 1 : above;
}

function compressionFiles(context: SetContext): WrittenPart {
  const { style, unitName, compressionLevelsDb } = context.recipe;
  const files = compressionLevelsDb.map((levelDb) => {
    const name = `compression_${levelDb}db`;
    const rippleDb = smallRipple(context.grid, context.randomFor(name));
    const response = compressedResponse(context.axis, levelDb).map((level, bin) => level + rippleDb[bin] / 2);
    return tableFile(
      name,
      style,
      [`${unitName}, at a nominal ${levelDb} dB ${COMMENT}`],
      [frequencyColumn(context.grid.frequencyHz), { header: 'magnitude_db', values: response, decimals: 3 }],
    );
  });
  const entries = files.map((file, index): ManifestEntry => {
    const levelDb = compressionLevelsDb[index];
    return {
      file: file.name,
      role: 'compression',
      ...(levelDb !== undefined && { levelDb }),
      conditions: { distanceM: 1 },
    };
  });
  return { files, entries };
}

/** SPL of a sample of 1.0 in recordings: leaves 12 dB above the loudest test. */
const FULL_SCALE_DB = 124;
const RECORDING_SIZE = 2 ** 17;
const SWEEP = { fromHz: 20, toHz: 20000, seconds: 2.3 } as const;
const LEAD_IN_S = 0.1;
/** Level of a quiet room at the microphone, all frequencies together. */
const ROOM_NOISE_DB = 28;

function sweepRecordings(
  context: SetContext,
  recipe: LevelRecipe & { readonly form: 'recording' },
  playerAt: PlayerAt,
): WrittenPart {
  const { sampleRateHz, format } = recipe;
  const sweep = exponentialSweep(SWEEP, sampleRateHz, LEAD_IN_S, RECORDING_SIZE);
  const files = recipe.levelsDb.map((levelDb) => {
    const name = `distortion_${levelDb}db.wav`;
    return wavFile(
      name,
      recorded(playerAt(sampleRateHz)(sweep, levelDb), context.randomFor(name)),
      sampleRateHz,
      format,
    );
  });
  const stimulus = { type: 'exponential-sweep', ...SWEEP, sampleRateHz } as const;
  const entries = files.map((file, index) => ({
    ...levelEntry(file.name, 'distortion', recipe, index),
    stimulus,
    fullScaleDb: FULL_SCALE_DB,
  }));
  return { files, entries };
}

function multitoneRecordings(
  context: SetContext,
  recipe: LevelRecipe & { readonly form: 'recording' },
  playerAt: PlayerAt,
): WrittenPart {
  const { sampleRateHz, format } = recipe;
  const { signal, frequenciesHz } = multitone(THIRD_OCTAVES_HZ.slice(0, -1), sampleRateHz, RECORDING_SIZE);
  const files = recipe.levelsDb.map((levelDb) => {
    const name = `multitone_${levelDb}db.wav`;
    return wavFile(
      name,
      recorded(playerAt(sampleRateHz)(signal, levelDb), context.randomFor(name)),
      sampleRateHz,
      format,
    );
  });
  const entries = files.map((file, index) => ({
    ...levelEntry(file.name, 'multitone', recipe, index),
    stimulus: { type: 'multitone', frequenciesHz } as const,
    fullScaleDb: FULL_SCALE_DB,
  }));
  return { files, entries };
}

function recorded(pressure: Float64Array, random: Random): Float64Array {
  const noise = fromDecibels(ROOM_NOISE_DB);
  const fullScale = fromDecibels(FULL_SCALE_DB);
  return pressure.map((sample) => (sample + noise * bellShaped(random)) / fullScale);
}
