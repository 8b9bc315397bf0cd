import type { Finding, HorizontalCoverage } from '../analysis.js';
import type { UnitKind } from './findingInputs.js';
import { sayHz } from './words/sayHz.js';
import { sayNumber } from './words/sayNumber.js';

/** Degrees to one side; common practice, no source. */
const WIDE_DEG = 60;
const NARROW_DEG = 35;
/** A centre is heard from seats to its sides, and its drivers often stand side by side. */
const NARROW_CENTRE_DEG = 25;
const SPEECH_HZ = [500, 4000] as const;
const SUMMARY_HZ = [1000, 10_000] as const;

/** Whether the sound spreads unusually wide or narrow, over 1-10 kHz; of a centre, also within speech. */
export function coverageFindings(
  horizontal: HorizontalCoverage | undefined,
  unitKind: UnitKind | undefined,
): readonly Finding[] {
  if (!horizontal || unitKind === 'subwoofer') return [];
  const pinched = unitKind === 'centre' ? narrowestInSpeech(horizontal) : undefined;
  if (pinched && pinched.angleDeg < NARROW_CENTRE_DEG) return [pinchedFinding(pinched)];
  const { summaryDeg } = horizontal;
  if (summaryDeg >= WIDE_DEG) return [summaryFinding('wide-coverage', summaryDeg)];
  if (summaryDeg <= NARROW_DEG) return [summaryFinding('narrow-coverage', summaryDeg)];
  return [];
}

function summaryFinding(kind: 'wide-coverage' | 'narrow-coverage', summaryDeg: number): Finding {
  const meaning =
    kind === 'wide-coverage'
      ? 'many seats hear nearly the same, and side walls are lit strongly'
      : 'seats off the axis lose treble, and side walls are lit little';
  return {
    kind,
    fromHz: SUMMARY_HZ[0],
    toHz: SUMMARY_HZ[1],
    centreHz: Math.sqrt(SUMMARY_HZ[0] * SUMMARY_HZ[1]),
    levelDb: summaryDeg,
    unit: 'degree',
    curve: 'horizontal',
    correctable: false,
    why: `Horizontally the sound stays within 6 dB of on axis up to ${sayNumber(summaryDeg)} degrees to a side from 1 to 10 kHz: ${meaning}.`,
  };
}

interface Pinched {
  readonly angleDeg: number;
  readonly frequencyHz: number;
}

function narrowestInSpeech({ coverageDeg }: HorizontalCoverage): Pinched | undefined {
  let narrowest: Pinched | undefined;
  coverageDeg.frequencyHz.forEach((frequencyHz, i) => {
    if (frequencyHz < SPEECH_HZ[0] || frequencyHz > SPEECH_HZ[1]) return;
    const angleDeg = Math.min(coverageDeg.left[i], coverageDeg.right[i]);
    if (!narrowest || angleDeg < narrowest.angleDeg) narrowest = { angleDeg, frequencyHz };
  });
  return narrowest;
}

function pinchedFinding({ angleDeg, frequencyHz }: Pinched): Finding {
  return {
    kind: 'narrow-coverage',
    fromHz: frequencyHz / Math.SQRT2,
    toHz: frequencyHz * Math.SQRT2,
    centreHz: frequencyHz,
    levelDb: angleDeg,
    unit: 'degree',
    curve: 'horizontal',
    correctable: false,
    why: `At ${sayHz(frequencyHz)} the sound has fallen 6 dB already ${sayNumber(angleDeg)} degrees to the side: seats beyond lose clarity of speech.`,
  };
}
