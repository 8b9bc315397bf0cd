import type { Orbit, Role } from '../acoustics/series.js';

/** What a file's name says it holds. */
export interface NamedContent {
  readonly role: Role | 'calibration';
  readonly orbit?: Orbit;
  readonly angleDeg?: number;
  readonly levelDb?: number;
  /** The microphone a calibration file belongs to. */
  readonly label?: string;
}

export const ACCEPTED_NAMES =
  'h+030.csv, hor_30.txt, "V -10.csv", h330.wav, impedance.csv, distortion_86db.csv, multitone_86db.csv, ' +
  'compression_76db.csv, in-room.csv or calibration_MICROPHONE.csv';

const ORBIT_ANGLE =
  /^(h|hor|horiz|horizontal|v|ver|vert|vertical)[ _.]*([+-]?\d{1,3}(?:\.\d+)?)[ _]*(?:deg|degrees?|\u00b0)?$/;
const LEVEL = /^(distortion|multitone|compression)(?:[ _-]+(\d{1,3}(?:\.\d+)?)[ _]*db)?$/i;
const LABELLED = /^(in-?room|calibration)(?:[ _-]+(.+))?$/i;

/**
 * Reads the house's file-name convention. `name` may carry folders; where the base name is only an angle,
 * a parent folder named after an orbit completes it (`horizontal/-30.csv`).
 *
 * Returns undefined for a name that says nothing: never a guess.
 *
 * @example parseFileName('set/V -10.csv') // { role: 'directivity', orbit: 'vertical', angleDeg: -10 }
 */
export function parseFileName(name: string): NamedContent | undefined {
  const parts = name.split('/');
  const base = (parts.pop() ?? '').replace(/\.[a-z][a-z0-9]*$/i, '').trim();
  const angle = parseOrbitAngle(base) ?? parseOrbitAngle(`${(parts.pop() ?? '').trim()} ${base}`);
  if (angle !== undefined) return { role: 'directivity', ...angle };
  const level = LEVEL.exec(base);
  if (level !== null) {
    const role = level[1].toLowerCase() as Role;
    return level[2] === undefined ? { role } : { role, levelDb: Number(level[2]) };
  }
  if (base.toLowerCase() === 'impedance') return { role: 'impedance' };
  const labelled = LABELLED.exec(base);
  if (labelled !== null) {
    const role = labelled[1].toLowerCase() === 'calibration' ? 'calibration' : 'in-room';
    return labelled[2] === undefined ? { role } : { role, label: labelled[2] };
  }
  return undefined;
}

/**
 * An orbit letter or word and a signed angle or 0..359 degrees: `h-170`, `vertical 20`, `h330` (= -30).
 * The angle returned is in (-180, 180]; out of range or anything else gives undefined.
 */
export function parseOrbitAngle(text: string): { orbit: Orbit; angleDeg: number } | undefined {
  const plain = text.normalize('NFKC').replace(/[\u2212\u2013]/g, '-');
  const match = ORBIT_ANGLE.exec(plain.toLowerCase());
  if (match === null) return undefined;
  const angleDeg = foldAngle(Number(match[2]));
  if (angleDeg === undefined) return undefined;
  return { orbit: match[1]?.startsWith('h') ? 'horizontal' : 'vertical', angleDeg };
}

/** -180..180 or 0..<360 degrees to (-180, 180]; undefined outside. */
export function foldAngle(angleDeg: number): number | undefined {
  if (!(angleDeg >= -180 && angleDeg < 360)) return undefined;
  const folded = angleDeg > 180 ? angleDeg - 360 : angleDeg;
  return folded === -180 ? 180 : folded + 0;
}

/** Files that operating systems leave beside real ones; they are passed over in silence. */
export function isIgnoredFile(name: string): boolean {
  const parts = name.split('/');
  const base = parts.at(-1)?.toLowerCase() ?? '';
  return (
    parts.some((part) => (part.startsWith('.') && part !== '.' && part !== '..') || part === '__MACOSX') ||
    base === 'thumbs.db' ||
    base === 'desktop.ini'
  );
}
