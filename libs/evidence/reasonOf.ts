/** Why a remark and a finding belong together, in one plain sentence. */
import { sayBand, sayHz } from './sayFrequency.js';
import type { HeardRemark, MeasuredFinding } from './types.js';
import type { Claim } from './understandRemark.js';

export function reasonOf(remark: HeardRemark, claim: Claim, finding: MeasuredFinding): string {
  const where = claim.band ? sayBand(claim.band.fromHz, claim.band.toHz) : '';
  const heard = `${claim.by} points to ${where}${claim.sign === 'either' ? '' : ` as ${claim.sign === 'excess' ? 'too much' : 'too little'}`}`;
  const turned = isTurned(remark.position) ? ' Check it against the curve of the angle listened at.' : '';
  return `${capital(heard)}; measured there: ${sayFinding(finding)}.${turned}`;
}

export function sayFinding({ kind, centreHz, levelDb, q, correctable }: MeasuredFinding): string {
  const size = levelDb === undefined ? '' : ` of ${saySize(kind, levelDb)}`;
  const width = q === undefined ? '' : `, Q ${Number(q.toPrecision(2))}`;
  const mend =
    correctable === undefined || kind === 'bass-limit'
      ? ''
      : correctable
        ? ', which an equaliser can correct'
        : ', which no equaliser corrects';
  return `a ${kind.replaceAll('-', ' ')}${size} at ${sayHz(centreHz)}${width}${mend}`;
}

function saySize(kind: string, level: number): string {
  return `${Number(level.toPrecision(2))} ${unitOf(kind)}`;
}

function unitOf(kind: string): string {
  if (kind === 'distortion') return '%';
  if (kind.includes('impedance')) return 'ohm';
  return kind.includes('coverage') ? 'degrees' : 'dB';
}

/** The listener turned the cabinet or sat to the side. */
export const isTurned = (position: string | undefined): boolean =>
  position !== undefined && /turn|toe|off.?axis|degree|°|side seat|to the side/i.test(position);

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
