import type { AngleResponse, QualityFinding } from '../../acoustics/series.js';
import { sourceOf, type FileTask, type Reading } from '../reading.js';
import type { ColumnMeaning, Quantity } from './columnMeaning.js';
import type { Table } from './readTable.js';

interface Column {
  readonly meaning: ColumnMeaning;
  readonly values: Float64Array;
}

/** Turns a checked table into the series its content stands for. Units become Hz, dB, degrees, ohm, percent. */
export function tableToSeries(task: FileTask, table: Table): Reading {
  const column = (quantity: Quantity): Column | undefined =>
    table.columns.find(({ meaning }) => meaning.quantity === quantity && meaning.angleDeg === undefined);
  const frequencyHz = column('frequency')!.values;
  const levelDb = task.levelDb ?? 0;
  switch (table.content) {
    case 'directivity':
      return { angles: angleResponses(task, table, frequencyHz) };
    case 'in-room':
      return {
        inRoom: [
          {
            frequencyHz,
            levelDb: column('level')!.values,
            ...phase(column('phase')),
            source: sourceOf(task),
          },
        ],
      };
    case 'compression':
      return {
        compression: [{ levelDb, frequencyHz, responseDb: column('level')!.values, source: sourceOf(task) }],
      };
    case 'impedance':
      return { impedance: [{ frequencyHz, ...impedanceOf(column), source: sourceOf(task) }] };
    case 'distortion':
      return distortionOf(task, table, column, frequencyHz, levelDb);
    case 'multitone': {
      const distortionPercent = percent((column('distortion') ?? column('thd'))!);
      return { multitone: [{ levelDb, frequencyHz, distortionPercent, source: sourceOf(task) }] };
    }
    case 'calibration': {
      const name = task.microphone ?? task.file;
      return { calibrations: [{ name, frequencyHz, deviationDb: column('deviation')!.values }] };
    }
  }
}

function angleResponses(task: FileTask, table: Table, frequencyHz: Float64Array): AngleResponse[] {
  const levels = table.columns.filter(({ meaning }) => meaning.quantity === 'level');
  return levels.map(({ meaning, values }) => {
    const inTable = meaning.angleDeg !== undefined;
    const phaseColumn = table.columns.find(
      (other) =>
        other.meaning.quantity === 'phase' &&
        other.meaning.orbit === meaning.orbit &&
        other.meaning.angleDeg === meaning.angleDeg,
    );
    return {
      orbit: (inTable ? meaning.orbit : task.orbit)!,
      angleDeg: (inTable ? meaning.angleDeg : task.angleDeg)!,
      frequencyHz,
      levelDb: values,
      ...phase(phaseColumn),
      source: sourceOf(task, inTable ? meaning.header : undefined),
    };
  });
}

function phase(column: Column | undefined): { phaseDeg?: Float64Array } {
  if (column === undefined) return {};
  if (column.meaning.unit !== 'rad') return { phaseDeg: column.values };
  return { phaseDeg: column.values.map((radians) => (radians * 180) / Math.PI) };
}

function impedanceOf(column: (quantity: Quantity) => Column | undefined): {
  magnitudeOhm: Float64Array;
  phaseDeg?: Float64Array;
} {
  const magnitude = column('impedance');
  if (magnitude !== undefined) return { magnitudeOhm: magnitude.values, ...phase(column('phase')) };
  const resistance = column('resistance')!.values;
  const reactance = column('reactance')?.values;
  if (reactance === undefined) return { magnitudeOhm: resistance };
  return {
    magnitudeOhm: resistance.map((ohm, at) => Math.hypot(ohm, reactance[at])),
    phaseDeg: resistance.map((ohm, at) => (Math.atan2(reactance[at], ohm) * 180) / Math.PI),
  };
}

function percent({ meaning, values }: Column): Float64Array {
  return meaning.unit === 'db' ? values.map((db) => 100 * 10 ** (db / 20)) : values;
}

/**
 * Harmonics in dB may be relative to the fundamental (then below zero) or levels of their own (then the
 * fundamental's column makes them relative). The reading taken is noted.
 */
function distortionOf(
  task: FileTask,
  table: Table,
  column: (quantity: Quantity) => Column | undefined,
  frequencyHz: Float64Array,
  levelDb: number,
): Reading {
  const harmonics = table.columns.filter(({ meaning }) => meaning.quantity === 'harmonic');
  const fundamental = column('level');
  const absolute = fundamental !== undefined && harmonics.some((harmonic) => isLevel(harmonic));
  const harmonicsPercent: Record<number, Float64Array> = {};
  const quality: QualityFinding[] = [];
  for (const harmonic of harmonics) {
    const relative = absolute && harmonic.meaning.unit === 'db' ? minus(harmonic, fundamental) : harmonic;
    harmonicsPercent[harmonic.meaning.order!] = percent(relative).map((value) =>
      Number.isNaN(value) ? 0 : value,
    );
  }
  if (harmonics.some(({ values }) => values.some((value) => Number.isNaN(value)))) {
    const message = 'Some harmonics have no value at some frequencies; they count as 0 % there.';
    quality.push({ severity: 'note', code: 'harmonic-cells-empty', message, file: task.file });
  }
  const thd = column('thd');
  if (absolute) {
    const message =
      'Harmonics in dB are above zero, so they were taken as levels and set against the fundamental.';
    quality.push({ severity: 'note', code: 'harmonics-as-levels', message, file: task.file });
  }
  const thdPercent = thd === undefined ? {} : { thdPercent: percent(thd) };
  return {
    distortion: [{ levelDb, frequencyHz, ...thdPercent, harmonicsPercent, source: sourceOf(task) }],
    quality,
  };
}

/** Whether most of a dB column is above 0: no loudspeaker distorts by more than its output. */
function isLevel({ meaning, values }: Column): boolean {
  return (
    meaning.unit === 'db' && values.reduce((above, db) => above + (db > 0 ? 1 : 0), 0) * 2 > values.length
  );
}

function minus({ meaning, values }: Column, fundamental: Column): Column {
  return { meaning, values: values.map((db, at) => db - fundamental.values[at]) };
}
