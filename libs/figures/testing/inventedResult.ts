/**
 * An invented two-way loudspeaker for the tests and the bench, generated from physics: baffled pistons, a
 * fourth-order crossover with real driver spacing, a vented box, one cabinet resonance, one edge diffraction.
 */
import type { AnalysisResult, Curves, DirectivityMap } from '../../acoustics/analysis.js';
import { INVENTED_FINDINGS } from './inventedFindings.js';
import { bell, inventedGrid } from './inventedGrid.js';
import { inventedLoudness } from './inventedLoudness.js';

const SPEED_M_PER_S = 343;
const WOOFER_RADIUS_M = 0.065;
const TWEETER_RADIUS_M = 0.0125;
const SPACING_M = 0.16;
const CROSSOVER_HZ = 2300;
const TUNING_HZ = 44;
const SENSITIVITY_DB = 86.2;

type Complex = readonly [number, number];

export function inventedMap(orbit: 'horizontal' | 'vertical', frequencyHz = inventedGrid()): DirectivityMap {
  const angleDeg = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);
  const levelDb = angleDeg.map((angle) => frequencyHz.map((hz) => pressureDb(hz, angle, orbit)));
  return { frequencyHz, angleDeg, levelDb };
}

export function inventedResult(perOctave = 24): AnalysisResult {
  const frequencyHz = inventedGrid(perOctave);
  const horizontal = inventedMap('horizontal', frequencyHz);
  const vertical = inventedMap('vertical', frequencyHz);
  const curves = averagedCurves(horizontal, vertical);
  return {
    schema: 'sojourn.analysis/1',
    algorithmVersion: '0',
    settings: {
      earlyReflections: 'five-group-mean',
      rearWall: 'nineteen',
      maximumFilters: 6,
      maximumBoostDb: 3,
      equaliserSampleRateHz: 48_000,
    },
    inputs: [],
    frequencyHz,
    curves,
    sensitivity: { db: SENSITIVITY_DB, bandHz: [300, 3000] },
    bass: { f3Hz: 44.1, f6Hz: 39.4, f10Hz: 33.6, slopeDbPerOctave: 24 },
    inRoomTrend: {
      fromHz: 500,
      toHz: 20_000,
      slopeDbPerOctave: -1.02,
      interceptDb: 84.1,
      residualRmsDb: 1.14,
    },
    horizontal: {
      coverageDeg: {
        frequencyHz,
        left: frequencyHz.map((hz) => coverageAt(hz, 'horizontal', -1)),
        right: frequencyHz.map((hz) => coverageAt(hz, 'horizontal', 1)),
      },
      summaryDeg: 63,
    },
    vertical: {
      coverageDeg: {
        frequencyHz,
        up: frequencyHz.map((hz) => coverageAt(hz, 'vertical', 1)),
        down: frequencyHz.map((hz) => coverageAt(hz, 'vertical', -1)),
      },
      nulls: [
        { frequencyHz: 2300, angleDeg: 30, depthDb: 18 },
        { frequencyHz: 2400, angleDeg: -30, depthDb: 16 },
      ],
      usableWindowDeg: { up: 12, down: 11 },
    },
    maps: { horizontal, vertical },
    ...inventedLoad(frequencyHz),
    ...inventedLoudness(),
    findings: INVENTED_FINDINGS,
    equaliser: inventedEqualiser(frequencyHz, curves),
    quality: [inventedEvidence(frequencyHz, curves)],
  };
}

function piston(hz: number, radiusM: number, angleDeg: number): number {
  const angle = Math.min(Math.abs(angleDeg), 90);
  const x = ((2 * Math.PI * hz) / SPEED_M_PER_S) * radiusM * Math.sin((angle * Math.PI) / 180);
  return x < 1e-6 ? 1 : (2 * besselJ1(x)) / x;
}

/** Bessel's integral by the trapezoid rule, which converges geometrically here. */
function besselJ1(x: number): number {
  let sum = 0;
  for (let index = 0; index < 48; index += 1) {
    const turn = (2 * Math.PI * (index + 0.5)) / 48;
    sum += Math.cos(turn - x * Math.sin(turn));
  }
  return sum / 48;
}

/** Behind the baffle the level falls with how large the front is against the wavelength. */
function baffle(hz: number, angleDeg: number): number {
  const size = hz / 420;
  const behind = (1 - Math.cos((angleDeg * Math.PI) / 180)) / 2;
  return 1 / Math.sqrt(1 + behind ** 1.5 * size ** 1.6);
}

function pressureDb(hz: number, angleDeg: number, orbit: 'horizontal' | 'vertical'): number {
  const ratio = (hz / CROSSOVER_HZ) ** 4;
  const low = 1 / (1 + ratio);
  const high = ratio / (1 + ratio);
  const path = orbit === 'vertical' ? SPACING_M * Math.sin((angleDeg * Math.PI) / 180) : 0;
  const phase = (Math.PI * hz * path) / SPEED_M_PER_S;
  const woofer = low * piston(hz, WOOFER_RADIUS_M, angleDeg);
  const tweeter = high * piston(hz, TWEETER_RADIUS_M, angleDeg);
  const sum: Complex = [(woofer + tweeter) * Math.cos(phase), (tweeter - woofer) * Math.sin(phase)];
  const box = (hz / TUNING_HZ) ** 4 / Math.sqrt(1 + (hz / TUNING_HZ) ** 8);
  const magnitude = Math.hypot(...sum) * box * baffle(hz, angleDeg);
  const resonance = bell(hz, 720, 2.4, 7);
  const edge = bell(hz, 3400, -1.8 * Math.cos((angleDeg * Math.PI) / 90), 4);
  return SENSITIVITY_DB + 20 * Math.log10(Math.max(magnitude, 1e-4)) + resonance + edge;
}

function averagedCurves(horizontal: DirectivityMap, vertical: DirectivityMap): Curves {
  const mean = (h: readonly number[], v: readonly number[]) =>
    horizontal.frequencyHz.map((_, index) => {
      const pick = (map: DirectivityMap, angles: readonly number[]) =>
        angles.map((angle) => map.levelDb[map.angleDeg.indexOf(angle)]?.[index] ?? NaN);
      const levels = [...pick(horizontal, h), ...pick(vertical, v)];
      return 10 * Math.log10(levels.reduce((sum, db) => sum + 10 ** (db / 10), 0) / levels.length);
    });
  const range = (from: number, to: number) =>
    Array.from({ length: (to - from) / 10 + 1 }, (_, index) => from + 10 * index);
  const both = (from: number, to: number) => [...range(from, to), ...range(-to, -from)];
  const onAxis = mean([0], []);
  const listeningWindow = mean(range(-30, 30), [-10, 10]);
  const surfaces = {
    floorBounce: mean([], [-20, -30, -40]),
    ceilingBounce: mean([], [40, 50, 60]),
    frontWallBounce: mean(range(-30, 30), []),
    sideWallBounce: mean(both(40, 80), []),
    rearWallBounce: mean([...both(90, 170), 180], []),
  };
  const energy = (parts: readonly (readonly [number, readonly number[]])[]) =>
    onAxis.map(
      (_, index) => 10 * Math.log10(parts.reduce((sum, [w, c]) => sum + w * 10 ** ((c[index] ?? 0) / 10), 0)),
    );
  const earlyReflections = energy(Object.values(surfaces).map((curve) => [0.2, curve] as const));
  const soundPower = energy(
    range(-170, 180).map((angle) => [weight(angle), mean([angle], [angle])] as const),
  );
  const minus = (curve: readonly number[]) =>
    listeningWindow.map((level, index) => level - (curve[index] ?? level));
  return {
    onAxis,
    listeningWindow,
    earlyReflections,
    ...surfaces,
    soundPower,
    earlyReflectionsDirectivityIndex: minus(earlyReflections),
    soundPowerDirectivityIndex: minus(soundPower),
    estimatedInRoom: energy([
      [0.12, listeningWindow],
      [0.44, earlyReflections],
      [0.44, soundPower],
    ]),
  };
}

/** Close enough to the solid angle for a picture. */
function weight(angleDeg: number): number {
  const sine = Math.max(Math.sin((Math.abs(angleDeg) * Math.PI) / 180), 0.03);
  return sine / 22.9;
}

function coverageAt(hz: number, orbit: 'horizontal' | 'vertical', side: 1 | -1): number {
  const reference = pressureDb(hz, 0, orbit);
  for (let angle = 2; angle <= 180; angle += 2) {
    if (pressureDb(hz, angle, orbit) < reference - 6) return angle - (side === 1 ? 0 : 1);
  }
  return 180;
}

function inventedLoad(frequencyHz: readonly number[]): Pick<AnalysisResult, 'impedance'> {
  const magnitudeOhm = frequencyHz.map(
    (hz) =>
      5.1 +
      bell(hz, 26, 32, 2.2) +
      bell(hz, 64, 24, 2) +
      bell(hz, 1500, 9, 0.7) -
      bell(hz, 165, 1.6, 0.6) +
      hz / 9000,
  );
  const phaseDeg = frequencyHz.map((_, index) => {
    const before = magnitudeOhm[index - 1] ?? magnitudeOhm[index] ?? 1;
    const after = magnitudeOhm[index + 1] ?? magnitudeOhm[index] ?? 1;
    return Math.max(-62, Math.min(62, 330 * Math.log(after / before)));
  });
  const epdrOhm = magnitudeOhm.map(
    (ohm, index) => ohm / (8 * Math.sin(Math.PI / 6 + (Math.abs(phaseDeg[index] ?? 0) * Math.PI) / 540) ** 3),
  );
  return {
    impedance: {
      minimumOhm: 3.92,
      minimumHz: 172,
      ratedOhm: 4,
      epdrMinimumOhm: 2.1,
      epdrMinimumHz: 104,
      phaseAtMinimumDeg: -4,
      frequencyHz,
      magnitudeOhm,
      phaseDeg,
      epdrOhm,
      wrinkles: [{ frequencyHz: 720, strength: 0.4 }],
      amplifierAdvice: 'Wants an amplifier rated into 4 ohm.',
    },
  };
}

function inventedEqualiser(frequencyHz: readonly number[], curves: Curves): AnalysisResult['equaliser'] {
  const lowered = (curve: readonly number[] = []) =>
    curve.map((level, index) => level - bell(frequencyHz[index] ?? 1000, 720, 2.3, 6.6));
  return {
    sampleRateHz: 48_000,
    filters: [{ type: 'peaking', frequencyHz: 720, gainDb: -2.3, q: 6.6, b: [1, 0, 0], a: [1, 0, 0] }],
    headroomDb: 0,
    before: {
      residualRmsDb: 1.14,
      onAxis: curves.onAxis ?? [],
      estimatedInRoom: curves.estimatedInRoom ?? [],
    },
    after: {
      residualRmsDb: 0.81,
      onAxis: lowered(curves.onAxis),
      estimatedInRoom: lowered(curves.estimatedInRoom),
    },
  };
}

function inventedEvidence(frequencyHz: readonly number[], curves: Curves): AnalysisResult['quality'][number] {
  const values = curves.onAxis ?? [];
  return {
    severity: 'blocking',
    code: 'axes-disagree',
    message:
      'The horizontal and the vertical 0 degree curves differ by up to 4.1 dB. Remeasure both on one reference axis.',
    file: 'v+000.csv',
    evidence: {
      title: 'Two readings of one axis',
      unit: 'dB',
      frequencyHz,
      curves: [
        { label: 'Horizontal 0°', values },
        { label: 'Vertical 0°', values: values.map((v, i) => v - bell(frequencyHz[i] ?? 1, 4000, 4.1, 1.2)) },
      ],
    },
  };
}
