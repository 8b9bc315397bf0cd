import { analyseResponses } from '../../analyseResponses.js';
import { defaultSettings } from '../../defaultSettings.js';
import { prepareDirectivity } from '../../orbits/prepareDirectivity.js';
import type { AngleResponse, Conditions, MeasurementSet, Orbit } from '../../series.js';
import { gaussianNumbers } from '../../testing/gaussianNumbers.js';

/** A fault put into a clean set on purpose. */
export interface Fault {
  readonly name: string;
  /** The code that must be reported. */
  readonly code: string;
  /** Codes that rightly come along with it. */
  readonly also?: readonly string[];
  /** The least severity the finding must have. */
  readonly severity: 'blocking' | 'check';
  /** Twins whose own nature hides this fault, by name: what no check can be asked to see. */
  readonly hiddenIn?: readonly string[];
  /** Undefined where the set can't have this fault. */
  readonly apply: (set: MeasurementSet) => MeasurementSet | undefined;
}

type Change = (angle: AngleResponse) => AngleResponse;

function at(orbit: Orbit, angleDeg: number): (angle: AngleResponse) => boolean {
  return (angle) => angle.orbit === orbit && angle.angleDeg === angleDeg;
}

function changeWhere(
  set: MeasurementSet,
  where: (angle: AngleResponse) => boolean,
  change: Change,
): MeasurementSet {
  return { ...set, angles: set.angles.map((angle) => (where(angle) ? change(angle) : angle)) };
}

function louder(db: number): Change {
  return (angle) => ({ ...angle, levelDb: angle.levelDb.map((level) => level + db) });
}

function shaped(db: (hz: number) => number): Change {
  return (angle) => ({
    ...angle,
    levelDb: angle.levelDb.map((level, k) => level + db(angle.frequencyHz[k])),
  });
}

function conditioned(conditions: Conditions): Change {
  return (angle) => ({ ...angle, source: { ...angle.source, conditions } });
}

function find(set: MeasurementSet, orbit: Orbit, angleDeg: number): AngleResponse {
  const found = set.angles.find(at(orbit, angleDeg));
  if (found === undefined) throw new Error(`no ${orbit} ${angleDeg}`);
  return found;
}

/** The data of one angle under the name of another. */
function renamed(data: AngleResponse, name: AngleResponse): AngleResponse {
  return { ...data, orbit: name.orbit, angleDeg: name.angleDeg, source: name.source };
}

function addNoise(set: MeasurementSet, noiseDb: number): MeasurementSet {
  const normal = gaussianNumbers(99);
  const size = 10 ** (noiseDb / 20) / Math.SQRT2;
  return changeWhere(
    set,
    () => true,
    (angle) => ({
      ...angle,
      levelDb: angle.levelDb.map(
        (level) => 20 * Math.log10(Math.hypot(10 ** (level / 20) + size * normal(), size * normal())),
      ),
    }),
  );
}

/** What a 6 ms half-cosine window does to a fourth-order bass roll-off: computed, not guessed. */
function shortWindowChange(set: MeasurementSet): MeasurementSet | undefined {
  if (find(set, 'horizontal', 0).frequencyHz[0] > 100) return undefined;
  const directivity = prepareDirectivity(set);
  const f3Hz = directivity && analyseResponses(directivity, defaultSettings).bass?.f3Hz;
  const change = truncatedBass(f3Hz ?? 50, 0.006);
  return changeWhere(set, () => true, shaped(change));
}

/** dB by which a truncated fourth-order Butterworth high-pass differs from the whole one, per frequency. */
function truncatedBass(cornerHz: number, windowS: number): (hz: number) => number {
  const sampleRateHz = 4000;
  const impulse = butterworthImpulse(cornerHz, sampleRateHz, 1500);
  const length = Math.round(windowS * sampleRateHz);
  const windowed = impulse
    .slice(0, length)
    .map((value, n) => value * Math.cos((Math.PI * n) / (2 * length)) ** 2);
  const known = new Map<number, number>();
  return (hz) => {
    if (hz > 800) return 0;
    const db =
      known.get(hz) ?? spectrumDb(windowed, hz, sampleRateHz) - spectrumDb(impulse, hz, sampleRateHz);
    known.set(hz, db);
    return db;
  };
}

/** Two second-order sections, bilinear transform. */
function butterworthImpulse(cornerHz: number, sampleRateHz: number, length: number): Float64Array {
  let signal = new Float64Array(length);
  signal[0] = 1;
  for (const damping of [0.76536686, 1.84775907]) {
    const w = Math.tan((Math.PI * cornerHz) / sampleRateHz);
    const a0 = 1 + damping * w + w * w;
    const [a1, a2] = [(2 * (w * w - 1)) / a0, (1 - damping * w + w * w) / a0];
    const filtered = new Float64Array(length);
    for (let n = 0; n < length; n += 1) {
      const past = (array: Float64Array, k: number): number => (n >= k ? array[n - k] : 0);
      const input = (signal[n] - 2 * past(signal, 1) + past(signal, 2)) / a0;
      filtered[n] = input - a1 * past(filtered, 1) - a2 * past(filtered, 2);
    }
    signal = filtered;
  }
  return signal;
}

function spectrumDb(signal: Float64Array, hz: number, sampleRateHz: number): number {
  let re = 0;
  let im = 0;
  signal.forEach((value, n) => {
    const turn = (2 * Math.PI * hz * n) / sampleRateHz;
    re += value * Math.cos(turn);
    im -= value * Math.sin(turn);
  });
  return 20 * Math.log10(Math.hypot(re, im));
}

/** What goes wrong at the rig, one fault at a time. */
export const FAULTS: readonly Fault[] = [
  {
    name: 'one angle missing',
    code: 'missing-angle',
    severity: 'blocking',
    apply: (set) => ({ ...set, angles: set.angles.filter((angle) => !at('vertical', -130)(angle)) }),
  },
  {
    name: 'vertical orbit not measured',
    code: 'missing-angle',
    severity: 'blocking',
    apply: (set) => ({ ...set, angles: set.angles.filter(({ orbit }) => orbit === 'horizontal') }),
  },
  {
    name: 'an angle given twice, one mislabelled',
    code: 'duplicate-angle',
    also: ['missing-angle', 'level-step', 'out-of-family', 'noise-floor'],
    severity: 'blocking',
    apply: (set) => changeWhere(set, at('horizontal', -70), (angle) => ({ ...angle, angleDeg: 20 })),
  },
  {
    name: 'vertical 0 taken off the axis',
    code: 'axis-disagreement',
    also: ['level-step', 'out-of-family'],
    severity: 'blocking',
    apply: (set) =>
      changeWhere(
        set,
        at('vertical', 0),
        shaped((hz) => -4 * Math.max(0, Math.log2(hz / 1000))),
      ),
  },
  {
    name: 'vertical orbit 2 dB down',
    code: 'axis-disagreement',
    severity: 'blocking',
    apply: (set) => changeWhere(set, ({ orbit }) => orbit === 'vertical', louder(-2)),
  },
  {
    name: 'rear 180 of the orbits apart',
    code: 'axis-disagreement',
    also: ['level-step'],
    severity: 'blocking',
    apply: (set) => changeWhere(set, at('vertical', 180), louder(4)),
  },
  {
    name: 'something absorbs on the left',
    code: 'left-right-asymmetry',
    also: ['out-of-family', 'level-step', 'swapped-orbits'],
    severity: 'check',
    apply: (set) =>
      changeWhere(
        set,
        ({ orbit, angleDeg }) => orbit === 'horizontal' && angleDeg < 0 && angleDeg > -170,
        shaped((hz) => -6 / (1 + (1500 / hz) ** 4)),
      ),
  },
  {
    name: 'left half 3.5 dB down',
    code: 'left-right-asymmetry',
    also: ['level-step'],
    severity: 'blocking',
    apply: (set) =>
      changeWhere(set, ({ orbit, angleDeg }) => orbit === 'horizontal' && angleDeg < 0, louder(-3.5)),
  },
  {
    name: 'horizontal counted from the wrong mark',
    code: 'turned-orbit',
    also: ['axis-disagreement', 'left-right-asymmetry'],
    severity: 'blocking',
    apply: (set) =>
      changeWhere(
        set,
        ({ orbit }) => orbit === 'horizontal',
        (angle) => renamed(find(set, 'horizontal', wrap(angle.angleDeg + 20)), angle),
      ),
  },
  {
    name: 'one pair of vertical signs exchanged',
    // Stops that miss by a degree blur what up and down differ by; drivers more than a wavelength apart change
    // it faster than 10 degree steps can follow.
    hiddenIn: ['tweeter 3 cm off centre, rough rig', 'tall, low crossover'],
    code: 'wrong-sign',
    also: ['out-of-family', 'level-step', 'polarity-flip'],
    severity: 'check',
    apply: (set) =>
      changeWhere(
        set,
        (angle) => angle.orbit === 'vertical' && Math.abs(angle.angleDeg) === 30,
        (angle) => renamed(find(set, 'vertical', -angle.angleDeg), angle),
      ),
  },
  {
    name: 'orbits exchanged',
    code: 'swapped-orbits',
    also: ['left-right-asymmetry', 'turned-orbit'],
    severity: 'check',
    apply: (set) =>
      changeWhere(
        set,
        () => true,
        (angle) => ({
          ...angle,
          orbit: angle.orbit === 'horizontal' ? 'vertical' : 'horizontal',
        }),
      ),
  },
  {
    name: 'cabinet not laid on its side',
    code: 'orbits-alike',
    severity: 'check',
    apply: (set) => {
      const normal = gaussianNumbers(42);
      return changeWhere(
        set,
        ({ orbit }) => orbit === 'vertical',
        (angle) =>
          louder(0.1 * normal())(
            shaped(() => 0.1 * normal())(renamed(find(set, 'horizontal', angle.angleDeg), angle)),
          ),
      );
    },
  },
  {
    name: 'one file 2 dB up',
    code: 'level-step',
    severity: 'blocking',
    apply: (set) => changeWhere(set, at('horizontal', 50), louder(2)),
  },
  {
    name: 'gain changed from vertical +40 to +110',
    code: 'level-step',
    severity: 'check',
    apply: (set) =>
      changeWhere(
        set,
        ({ orbit, angleDeg }) => orbit === 'vertical' && angleDeg >= 40 && angleDeg <= 110,
        louder(-3),
      ),
  },
  {
    name: 'noise 20 dB under the level',
    code: 'noise-floor',
    also: ['out-of-family', 'axis-disagreement', 'level-step', 'short-window'],
    severity: 'check',
    apply: (set) => addNoise(set, 68),
  },
  {
    name: 'window of 6 ms',
    code: 'short-window',
    severity: 'check',
    apply: shortWindowChange,
  },
  {
    name: 'one file on another grid',
    code: 'grid-differs',
    severity: 'check',
    apply: (set) =>
      changeWhere(set, at('horizontal', 90), (angle) => ({
        ...angle,
        frequencyHz: angle.frequencyHz.filter((_, k) => k % 2 === 0),
        levelDb: angle.levelDb.filter((_, k) => k % 2 === 0),
        phaseDeg: angle.phaseDeg?.filter((_, k) => k % 2 === 0),
      })),
  },
  {
    name: 'one file ends at 5 kHz',
    code: 'grid-differs',
    severity: 'check',
    apply: (set) =>
      changeWhere(set, at('horizontal', 90), (angle) => {
        const keep = (_: number, k: number): boolean => angle.frequencyHz[k] < 5000;
        return {
          ...angle,
          frequencyHz: angle.frequencyHz.filter(keep),
          levelDb: angle.levelDb.filter(keep),
          phaseDeg: angle.phaseDeg?.filter(keep),
        };
      }),
  },
  {
    name: 'one file with the leads exchanged',
    code: 'polarity-flip',
    severity: 'check',
    apply: (set) => {
      const [lowest] = find(set, 'horizontal', -40).frequencyHz;
      if (lowest > 120) return undefined;
      return changeWhere(set, at('horizontal', -40), (angle) => ({
        ...angle,
        phaseDeg: angle.phaseDeg?.map((deg) => (deg > 0 ? deg - 180 : deg + 180)),
      }));
    },
  },
  {
    name: 'impedance negative',
    code: 'impedance-unphysical',
    severity: 'blocking',
    apply: (set) => ({
      ...set,
      impedance: set.impedance.map((series) => ({
        ...series,
        magnitudeOhm: series.magnitudeOhm.map((ohm) => -ohm),
      })),
    }),
  },
  {
    name: 'impedance phase beyond 90 degrees',
    code: 'impedance-unphysical',
    severity: 'blocking',
    apply: (set) => ({
      ...set,
      impedance: set.impedance.map((series) => ({
        ...series,
        phaseDeg: series.phaseDeg?.map((deg) => deg + 100),
      })),
    }),
  },
  {
    name: 'grille stated on for one file',
    code: 'grille-mixed',
    severity: 'blocking',
    apply: (set) =>
      changeWhere(
        { ...set, conditions: { ...set.conditions, grille: 'off' } },
        at('horizontal', 0),
        conditioned({ grille: 'on' }),
      ),
  },
  {
    name: 'grille left on, not stated',
    // An off-centre tweeter's edges ripple left and right differently by as much.
    hiddenIn: ['tweeter 4 cm off centre', 'tweeter 3 cm off centre, rough rig'],
    code: 'out-of-family',
    also: ['axis-disagreement'],
    severity: 'check',
    apply: (set) =>
      changeWhere(
        set,
        at('horizontal', 20),
        shaped((hz) => (hz < 1500 ? 0 : 2.5 * Math.sin(2 * Math.PI * 1.4 * Math.log2(hz / 1500)))),
      ),
  },
  {
    name: 'one file copied to another angle',
    code: 'identical-files',
    also: ['out-of-family', 'level-step'],
    severity: 'blocking',
    apply: (set) =>
      changeWhere(set, at('horizontal', 110), (angle) => renamed(find(set, 'horizontal', 100), angle)),
  },
  {
    name: 'one distortion file under two levels',
    code: 'identical-files',
    severity: 'blocking',
    apply: (set) => ({
      ...set,
      inputs: ['distortion_86db.csv', 'distortion_96db.csv'].map((file) => ({
        file,
        sha256: 'ab'.repeat(32),
        kind: 'delimited-text',
        role: 'distortion',
      })),
    }),
  },
  {
    name: 'a file of another serial number',
    code: 'serial-mismatch',
    severity: 'blocking',
    apply: (set) =>
      changeWhere(
        { ...set, conditions: { ...set.conditions, serial: 'A-0017' } },
        at('vertical', 60),
        conditioned({ serial: 'A-0018' }),
      ),
  },
  {
    name: 'a file of another unit',
    code: 'unit-mismatch',
    severity: 'blocking',
    apply: (set) =>
      changeWhere(
        { ...set, conditions: { ...set.conditions, unit: 'left' } },
        at('vertical', 60),
        conditioned({ unit: 'right' }),
      ),
  },
  {
    name: 'levels relative to 0 dB',
    code: 'level-implausible',
    severity: 'check',
    apply: (set) => changeWhere(set, () => true, louder(-86)),
  },
];

function wrap(angleDeg: number): number {
  return angleDeg > 180 ? angleDeg - 360 : angleDeg;
}
