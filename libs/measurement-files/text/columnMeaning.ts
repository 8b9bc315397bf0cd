import type { Orbit } from '../../acoustics/series.js';
import { parseOrbitAngle } from '../fileName.js';
import type { FileContent } from './fileContent.js';

export type Quantity =
  | 'frequency'
  | 'level'
  | 'phase'
  | 'impedance'
  | 'resistance'
  | 'reactance'
  | 'thd'
  | 'harmonic'
  | 'distortion'
  | 'deviation'
  | 'unknown';

export type Unit = 'hz' | 'khz' | 'db' | 'deg' | 'rad' | 'ohm' | 'percent' | 'other';

/** What one column of a table holds, as far as its header tells. */
export interface ColumnMeaning {
  readonly quantity: Quantity;
  readonly unit?: Unit;
  /** Harmonic order. */
  readonly order?: number;
  readonly orbit?: Orbit;
  readonly angleDeg?: number;
  /** The header as written. */
  readonly header: string;
}

const UNITS: ReadonlyMap<string, Unit> = new Map([
  ['hz', 'hz'],
  ['hertz', 'hz'],
  ['khz', 'khz'],
  ['db', 'db'],
  ['dbspl', 'db'],
  ['deg', 'deg'],
  ['degree', 'deg'],
  ['degrees', 'deg'],
  ['rad', 'rad'],
  ['radian', 'rad'],
  ['radians', 'rad'],
  ['ohm', 'ohm'],
  ['ohms', 'ohm'],
  ['percent', 'percent'],
  ['pct', 'percent'],
  ['pa', 'other'],
  ['v', 'other'],
  ['mv', 'other'],
  ['s', 'other'],
  ['ms', 'other'],
]);

const words = (text: string): ReadonlySet<string> => new Set(text.split(' '));
/** Every word of a header must be in one of these sets for it to count: prose in a comment never does. */
const FREQUENCY = words('frequency freq f frequenz');
const LEVEL = words(
  'magnitude mag level spl dbspl amplitude amp response sound pressure pegel fundamental h1 gain curve re in 20',
);
const PHASE = words('phase');
const IMPEDANCE = words('impedance z abs mod modulus magnitude mag impedanz');
const DISTORTION = words('distortion multitone intermodulation imd tdn thdn total noise plus and n thd');
const THD = words('thd total harmonic distortion f');
const DEVIATION = words('deviation calibration mic microphone error');

/**
 * Reads one header cell. `content` settles the few that depend on the file: `h2` is the second harmonic in a
 * distortion file and two degrees in a directivity file; a bare `magnitude` is ohms in an impedance file.
 */
export function columnMeaning(cell: string, content: FileContent | undefined): ColumnMeaning {
  const header = cell.trim();
  const { name, unit } = nameAndUnit(header);
  const harmonic = content === 'directivity' ? undefined : harmonicOrder(name);
  if (harmonic !== undefined && harmonic > 1)
    return withUnit({ quantity: 'harmonic', order: harmonic, header }, unit);
  const angle = angleMeaning(header, name, unit);
  if (angle !== undefined) return angle;
  return withUnit({ quantity: quantityOf(name, unit, content), header }, unit);
}

function withUnit(meaning: ColumnMeaning, unit: Unit | undefined): ColumnMeaning {
  return unit === undefined ? meaning : { ...meaning, unit };
}

/** "SPL (dB)", "f/Hz", "magnitude_db", "phaseDeg" to lower-case words and the unit. */
function nameAndUnit(header: string): { name: string[]; unit: Unit | undefined } {
  const tokens = header
    .normalize('NFKC')
    .replace(/\u03a9|\u2126/g, ' ohm ')
    .replace(/\u00b0/g, ' deg ')
    .replace(/%/g, ' percent ')
    .replace(/dB/g, ' db')
    .replace(/kHz/g, ' khz')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((token) => token !== '');
  const units = tokens.map((token) => UNITS.get(token)).filter((unit) => unit !== undefined);
  const name = tokens.filter((token) => !UNITS.has(token));
  // "dB re 20 uPa" is decibels, whatever follows.
  return { name, unit: units.includes('db') ? 'db' : units.at(-1) };
}

function harmonicOrder(name: readonly string[]): number | undefined {
  const joined = name.join(' ');
  const match =
    /^(?:h|hd|harmonic ?)(\d{1,2})$/.exec(joined) ?? /^(\d{1,2})(?:nd|rd|th)(?: harmonic)?$/.exec(joined);
  return match === null ? undefined : Number(match[1]);
}

const ANGLE_SUFFIX = /[\s_]*(?:[([]?\s*(?:db|spl|level|magnitude|deg|degrees|phase)\s*[)\]]?[\s_]*)+$/i;

/** `h-170`, `v+030`, `h30 (dB)`, `h-170_phase_deg`. */
function angleMeaning(
  header: string,
  name: readonly string[],
  unit: Unit | undefined,
): ColumnMeaning | undefined {
  const angle = parseOrbitAngle(header) ?? parseOrbitAngle(header.replace(ANGLE_SUFFIX, ''));
  if (angle === undefined) return undefined;
  const phase = name.includes('phase');
  if (phase) return { quantity: 'phase', unit: unit ?? 'deg', ...angle, header };
  return { quantity: 'level', unit: 'db', ...angle, header };
}

function quantityOf(
  name: readonly string[],
  unit: Unit | undefined,
  content: FileContent | undefined,
): Quantity {
  if (name.length === 0) return quantityOfUnit(unit, content);
  if (!name.some((word) => /[a-z]/.test(word))) return 'unknown';
  const all = (set: ReadonlySet<string>) => name.every((word) => set.has(word));
  const only = name.length === 1 ? name[0] : undefined;
  if (all(FREQUENCY) && (unit === undefined || unit === 'hz' || unit === 'khz')) return 'frequency';
  if (all(PHASE)) return 'phase';
  if (only === 'resistance' || only === 'real' || only === 're') return 'resistance';
  if (only === 'reactance' || only === 'imag' || only === 'imaginary' || only === 'im') return 'reactance';
  if (content === 'calibration' && unit !== 'ohm' && (all(DEVIATION) || all(LEVEL))) return 'deviation';
  if (
    unit === 'ohm' ||
    (content === 'impedance' && unit === undefined) ||
    only === 'impedance' ||
    only === 'z'
  ) {
    if (all(IMPEDANCE)) return 'impedance';
  }
  if (content === 'multitone' && all(DISTORTION)) return 'distortion';
  if (all(THD) && name.includes('thd')) return 'thd';
  if (all(THD) && name.includes('distortion')) return content === 'distortion' ? 'thd' : 'distortion';
  if (all(DISTORTION)) return 'distortion';
  if (unit !== 'other' && unit !== 'ohm' && unit !== 'percent' && all(LEVEL)) return 'level';
  return 'unknown';
}

/** What a column's unit alone says it is. */
export function quantityOfUnit(unit: Unit | undefined, content: FileContent | undefined): Quantity {
  switch (unit) {
    case 'hz':
    case 'khz':
      return 'frequency';
    case 'db':
      return content === 'calibration' ? 'deviation' : 'level';
    case 'deg':
    case 'rad':
      return 'phase';
    case 'ohm':
      return 'impedance';
    case 'percent':
      return content === 'multitone' ? 'distortion' : content === 'distortion' ? 'thd' : 'unknown';
    default:
      return 'unknown';
  }
}
