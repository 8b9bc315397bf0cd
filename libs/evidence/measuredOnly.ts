/** Why a finding may have gone unheard. It says so; whether it is audible is not claimed. */
import { sayHz } from './sayFrequency.js';
import type { MeasuredFinding } from './types.js';

const NEIGHBOUR_OCTAVES = 0.75;

export function measuredOnly(
  finding: MeasuredFinding,
  index: number,
  findings: readonly MeasuredFinding[],
  heard: ReadonlySet<number>,
): string {
  const { kind, centreHz, levelDb } = finding;
  if (kind.includes('impedance')) return 'Nobody remarked on it: it concerns the amplifier, not the balance.';
  if (kind === 'narrow-coverage' || kind === 'wide-coverage')
    return 'Nobody remarked on it: coverage shows away from the middle seat.';
  if (kind === 'vertical-null')
    return 'Nobody remarked on it: it shows only with ears well above or below the axis.';
  if (kind === 'distortion' || kind === 'compression')
    return 'Nobody remarked on it: it shows at the level it was measured at.';
  const size = Math.abs(levelDb ?? 0);
  const neighbour = findings.find(
    (other, at) =>
      at !== index &&
      other.levelDb !== undefined &&
      Math.abs(other.levelDb) > size &&
      Math.abs(Math.log2(other.centreHz / centreHz)) < NEIGHBOUR_OCTAVES,
  );
  if (neighbour) {
    const remarked = heard.has(findings.indexOf(neighbour)) ? ', which was remarked on' : '';
    return `Nobody remarked on it: it may be masked by the larger ${neighbour.kind.replaceAll('-', ' ')} at ${sayHz(neighbour.centreHz)}${remarked}.`;
  }
  if (size > 0 && size < 1) return 'Nobody remarked on it: it is under 1 dB.';
  if (centreHz > 12_000 || centreHz < 40) return 'Nobody remarked on it: little programme reaches there.';
  return 'Nobody remarked on it: listen again with programme that has something there.';
}
