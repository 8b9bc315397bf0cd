import type { BassLimits, Finding } from '../analysis.js';
import { sayHz } from './words/sayHz.js';

/** Lower than this reaches as low as music usually does; common practice, no source. */
const DEEP_ENOUGH_HZ = 25;
const LOWEST_HZ = 20;

/** Where the bass ends: the -3 dB limit (or, without it, -6 or -10), unless it lies below 25 Hz. */
export function bassLimitFinding(bass: BassLimits | undefined): readonly Finding[] {
  const limitHz = bass?.f3Hz ?? bass?.f6Hz ?? bass?.f10Hz;
  if (!bass || limitHz === undefined || limitHz < DEEP_ENOUGH_HZ) return [];
  const steps = [
    [3, bass.f3Hz],
    [6, bass.f6Hz],
    [10, bass.f10Hz],
  ] as const;
  const said = steps.flatMap(([db, hz]) => (hz === undefined ? [] : [`${db} dB down at ${sayHz(hz)}`]));
  const slope =
    bass.slopeDbPerOctave === undefined
      ? ''
      : `, falling by ${Math.abs(bass.slopeDbPerOctave).toFixed(0)} dB per octave below`;
  return [
    {
      kind: 'bass-limit',
      fromHz: Math.min(LOWEST_HZ, limitHz),
      toHz: limitHz,
      centreHz: limitHz,
      curve: 'onAxis',
      correctable: false,
      why: `The bass is ${said.join(', ')}${slope}: an equaliser would only ask more excursion of the woofer.`,
    },
  ];
}
