/** What each kind of unit is asked to be measured for, and how far the uploaded data answers it. */
import type { UnitKind } from '../contracts/index.js';
import type { PlannedState } from './facts.js';

export interface PlannedDataSet {
  readonly code: string;
  readonly title: string;
  readonly detail: string;
}

const orbitAngles = Array.from({ length: 36 }, (_unused, index) => index * 10 - 170);
const frontAngles = orbitAngles.filter((angle) => Math.abs(angle) <= 90);

const dataSets = {
  'horizontal-orbit': ['Horizontal orbit', '10 degree steps all the way round'],
  'vertical-orbit': ['Vertical orbit', '10 degree steps all the way round'],
  'front-horizontal': ['Horizontal front', '10 degree steps from -90 to 90 degrees'],
  'front-vertical': ['Vertical front', '10 degree steps from -90 to 90 degrees'],
  'on-axis': ['On-axis response', 'near field or ground plane for the low end'],
  impedance: ['Impedance', 'magnitude and phase, 10 Hz to 20 kHz'],
  'distortion-86': ['Distortion at 86 dB', 'harmonics against frequency'],
  'distortion-96': ['Distortion at 96 dB', 'harmonics against frequency; mind the maker’s rated input'],
  multitone: ['Multitone', 'distortion plus noise between the tones'],
  compression: ['Compression', 'at least two rising levels'],
} as const satisfies Record<string, readonly [string, string]>;
type DataSetCode = keyof typeof dataSets;

const full: readonly DataSetCode[] = [
  'horizontal-orbit',
  'vertical-orbit',
  'impedance',
  'distortion-86',
  'distortion-96',
  'multitone',
  'compression',
];
const plans: Readonly<Record<UnitKind, readonly DataSetCode[]>> = {
  standmount: full,
  floorstander: full,
  centre: full,
  panel: full,
  // An active unit shows its amplifier's input at the terminals: no loudspeaker impedance to measure.
  active: full.filter((code) => code !== 'impedance'),
  // A wall takes the rear hemisphere away.
  inwall: [
    'front-horizontal',
    'front-vertical',
    'impedance',
    'distortion-86',
    'distortion-96',
    'multitone',
    'compression',
  ],
  subwoofer: ['on-axis', 'distortion-86', 'distortion-96', 'compression'],
};

export function measurementPlanFor(kind: UnitKind): PlannedDataSet[] {
  return plans[kind].map((code) => ({ code, title: dataSets[code][0], detail: dataSets[code][1] }));
}

/** What one analysed set holds, as the analysis noted it. */
export interface HeldData {
  readonly horizontalDeg: readonly number[];
  readonly verticalDeg: readonly number[];
  readonly impedance: boolean;
  readonly distortionLevelsDb: readonly number[];
  readonly multitone: boolean;
  readonly compressionLevelsDb: readonly number[];
  /** The kinds of data that blocking quality findings of this set touch; `all` where it cannot be said. */
  readonly blockingIn: readonly DataKind[];
}

/** The kinds of data a fault may lie in; `directivity` where it cannot be said in which orbit. */
export type DataKind =
  | 'horizontal'
  | 'vertical'
  | 'directivity'
  | 'impedance'
  | 'distortion'
  | 'multitone'
  | 'compression'
  | 'all';

/** Whether a fault in one kind of data is one of a planned data set. */
function touches(fault: DataKind, code: string): boolean {
  if (fault === 'all') return true;
  if (fault === 'distortion') return code.startsWith('distortion');
  if (fault === 'impedance' || fault === 'multitone' || fault === 'compression') return code === fault;
  const ofDirectivity = code.includes('orbit') || code.startsWith('front-') || code === 'on-axis';
  const otherOrbit = fault === 'horizontal' ? 'vertical' : fault === 'vertical' ? 'horizontal' : undefined;
  return ofDirectivity && (otherOrbit === undefined || !code.includes(otherOrbit));
}

export interface UnitProgress {
  readonly held: readonly HeldData[];
  /** A set of this unit is being read or computed now. */
  readonly inWork: boolean;
}

/** How one planned data set stands. Angles from all of the unit's current sets count together. */
export function planState(
  code: string,
  progress: UnitProgress,
): Pick<PlannedState, 'state' | 'stillMissing'> {
  const missing = missingFor(code, progress.held);
  if (missing === '') {
    const faulty = progress.held.some(
      (held) => held.blockingIn.some((fault) => touches(fault, code)) && contributes(code, held),
    );
    return faulty
      ? { state: 'faulty', stillMissing: 'measured, but a blocking quality finding stands' }
      : { state: 'complete', stillMissing: '' };
  }
  return { state: progress.inWork ? 'in-work' : 'missing', stillMissing: missing };
}

/** Whether a set holds anything of a planned data set; a whole orbit may come from several sets. */
function contributes(code: string, held: HeldData): boolean {
  return missingFor(code, [held]) !== missingFor(code, []);
}

function missingFor(code: string, held: readonly HeldData[]): string {
  const horizontal = new Set(held.flatMap((data) => data.horizontalDeg));
  const vertical = new Set(held.flatMap((data) => data.verticalDeg));
  switch (code as DataSetCode) {
    case 'horizontal-orbit':
      return missingAngles(orbitAngles, horizontal);
    case 'vertical-orbit':
      // The orbits share the axis and the rear.
      return missingAngles(
        orbitAngles,
        new Set([...vertical, ...[0, 180].filter((angle) => horizontal.has(angle))]),
      );
    case 'front-horizontal':
      return missingAngles(frontAngles, horizontal);
    case 'front-vertical':
      return missingAngles(
        frontAngles,
        new Set([...vertical, ...[0].filter((angle) => horizontal.has(angle))]),
      );
    case 'on-axis':
      return horizontal.has(0) || vertical.has(0) ? '' : 'no response on the axis';
    case 'impedance':
      return held.some((data) => data.impedance) ? '' : 'not measured';
    case 'distortion-86':
      return missingLevel(86, held);
    case 'distortion-96':
      return missingLevel(96, held);
    case 'multitone':
      return held.some((data) => data.multitone) ? '' : 'not measured';
    case 'compression': {
      const levels = new Set(held.flatMap((data) => data.compressionLevelsDb));
      if (levels.size === 0) return 'not measured';
      return levels.size >= 2 ? '' : 'only one level; compression needs at least two';
    }
  }
}

function missingLevel(levelDb: number, held: readonly HeldData[]): string {
  const near = held.some((data) => data.distortionLevelsDb.some((level) => Math.abs(level - levelDb) < 0.5));
  return near ? '' : 'not measured at this level';
}

function missingAngles(wanted: readonly number[], there: ReadonlySet<number>): string {
  const missing = wanted.filter((angle) => !there.has(angle));
  if (missing.length === 0) return '';
  if (missing.length === wanted.length) return 'not measured';
  const shown = missing.slice(0, 6).map((angle) => `${angle}`);
  const rest = missing.length > 6 ? ` and ${missing.length - 6} more` : '';
  return `missing ${shown.join(', ')}${rest} degrees`;
}
