import type { BassLimits, Distortion, SubwooferCrossover } from '../analysis.js';

/** All common practice, no source. */
const ABOVE_F3 = Math.SQRT2;
const ABOVE_F10 = 2;
const BASS_UP_TO_HZ = 300;
const GUIDE_PERCENT = 3;
const ROUND_TO_HZ = 10;
const LOWEST_HZ = 40;
/** Above this a subwoofer begins to be heard as a source of its own. */
const HIGHEST_HZ = 120;

/**
 * Where to hand the bass over to a subwoofer: half an octave above F3, an octave above F10, and not below where
 * the bass distorts by more than 3 % at the loudest level measured; the highest of these, rounded up to 10 Hz.
 *
 * @returns undefined when neither a bass limit nor a distorting bass is known
 */
export function subwooferCrossover(
  bass: BassLimits | undefined,
  distortion: readonly Distortion[],
): SubwooferCrossover | undefined {
  const steps: { hz: number; sentence: string }[] = [];
  if (bass?.f3Hz !== undefined)
    steps.push(step(`Half an octave above F3: ${hertz(bass.f3Hz)} x 1.41`, bass.f3Hz * ABOVE_F3));
  if (bass?.f10Hz !== undefined)
    steps.push(step(`An octave above F10: ${hertz(bass.f10Hz)} x 2`, bass.f10Hz * ABOVE_F10));
  const distorted = distortedUpTo(distortion);
  if (distorted)
    steps.push({
      hz: distorted.hz,
      sentence: `At ${distorted.levelDb} dB the bass distorts by more than ${GUIDE_PERCENT} % up to ${hertz(distorted.hz)}.`,
    });
  if (steps.length === 0) return undefined;
  const wanted = Math.max(...steps.map(({ hz }) => hz));
  const rounded = Math.ceil(wanted / ROUND_TO_HZ - 1e-9) * ROUND_TO_HZ;
  const frequencyHz = Math.min(HIGHEST_HZ, Math.max(LOWEST_HZ, rounded));
  const arithmetic = [
    ...steps.map(({ sentence }) => sentence),
    `The highest of these, ${hertz(wanted)}, rounded up to ${ROUND_TO_HZ} Hz: ${rounded} Hz.`,
    ...(frequencyHz === rounded ? [] : [limitSentence(frequencyHz)]),
  ];
  return { frequencyHz, arithmetic };
}

function step(text: string, hz: number): { hz: number; sentence: string } {
  return { hz, sentence: `${text} = ${hertz(hz)}.` };
}

function limitSentence(frequencyHz: number): string {
  return frequencyHz === HIGHEST_HZ
    ? `Above about ${HIGHEST_HZ} Hz a subwoofer is heard as a source of its own: ${HIGHEST_HZ} Hz, with less level, or two subwoofers beside the loudspeakers.`
    : `Few subwoofers can be handed over below ${LOWEST_HZ} Hz: ${LOWEST_HZ} Hz.`;
}

/** The upper end of the bass that distorts too much at the loudest level measured. */
function distortedUpTo(distortion: readonly Distortion[]): { hz: number; levelDb: number } | undefined {
  const loudest = [...distortion].sort((a, b) => b.levelDb - a.levelDb)[0];
  const ends = (loudest?.above3Percent ?? [])
    .filter(([fromHz]) => fromHz < BASS_UP_TO_HZ / 2)
    .map(([, toHz]) => Math.min(toHz, BASS_UP_TO_HZ));
  return loudest && ends.length > 0 ? { hz: Math.max(...ends), levelDb: loudest.levelDb } : undefined;
}

function hertz(hz: number): string {
  return `${Number(hz.toPrecision(3))} Hz`;
}
