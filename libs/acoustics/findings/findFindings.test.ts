import { describe, expect, it } from 'vitest';
import type { Curves, Finding, FindingKind } from '../analysis.js';
import { analyse } from '../analyse.js';
import { measuredLoudspeaker, usualRig } from '../testing/measuredLoudspeaker.js';
import { findFindings } from './findFindings.js';
import type { FindingInputs } from './findingInputs.js';
import { peakingDb } from './testing/plantedUnit.js';

const HZ = Array.from({ length: 240 }, (_, i) => 20 * 2 ** (i / 24));
const bassDb = (hz: number): number => -10 * Math.log10(1 + (45 / hz) ** 8);
const indexDb = (hz: number): number => 10 / (1 + (2000 / hz) ** 0.9);

/** All curves of a loudspeaker with a smooth directivity; `extra` adds to one curve or, at `all`, to each. */
function curvesWith(extra: Partial<Record<keyof Curves | 'all', (hz: number) => number>> = {}): Curves {
  const level = (name: keyof Curves, down: (hz: number) => number): number[] =>
    HZ.map((hz) => 87 + bassDb(hz) - down(hz) + (extra.all?.(hz) ?? 0) + (extra[name]?.(hz) ?? 0));
  const listeningWindow = level('listeningWindow', (hz) => 0.1 * indexDb(hz));
  const earlyReflections = level('earlyReflections', (hz) => 0.6 * indexDb(hz));
  const soundPower = level('soundPower', indexDb);
  return {
    onAxis: level('onAxis', () => 0),
    listeningWindow,
    earlyReflections,
    soundPower,
    earlyReflectionsDirectivityIndex: listeningWindow.map((window, i) => window - earlyReflections[i]),
    soundPowerDirectivityIndex: listeningWindow.map((window, i) => window - soundPower[i]),
  };
}

function find(inputs: FindingInputs, kind: FindingKind): readonly Finding[] {
  return findFindings(inputs).filter((finding) => finding.kind === kind);
}

function ofCurves(extra: Parameters<typeof curvesWith>[0], kind: FindingKind): readonly Finding[] {
  return find({ frequencyHz: HZ, curves: curvesWith(extra) }, kind);
}

describe('findings of the response', () => {
  it('nothing on a smooth loudspeaker', () => {
    expect(findFindings({ frequencyHz: HZ, curves: curvesWith() })).toEqual([]);
  });

  it('a peak in every curve is a correctable resonance, and its sentence says where it stands', () => {
    const [peak] = ofCurves({ all: (hz) => peakingDb(hz, 1250, 3.2, 4) }, 'peak');
    expect(peak).toMatchObject({ correctable: true, curve: 'onAxis' });
    expect(peak.standsIn).toEqual(['onAxis', 'listeningWindow', 'earlyReflections', 'soundPower']);
    expect(peak.centreHz).toBeCloseTo(1250, -1);
    expect(peak.levelDb).toBeCloseTo(3.2, 1);
    expect(peak.q).toBeCloseTo(4, 0);
    expect(peak.toHz - peak.fromHz).toBeCloseTo(1250 / 4, -1);
    expect(peak.why).toMatch(/^A 3\.2 dB peak at 1\.25 kHz .* alike: it is a resonance/);
  });

  it('a dip on axis only is not, and the sentence says it changes with the angle', () => {
    const [dip] = ofCurves({ onAxis: (hz) => peakingDb(hz, 3000, -3, 3) }, 'dip');
    expect(dip).toMatchObject({ correctable: false, standsIn: ['onAxis'] });
    expect(dip.why).toContain('absent in the sound power');
  });

  it('a resonance partly hidden on axis is still one', () => {
    const extra = {
      all: (hz: number) => peakingDb(hz, 900, 4, 4),
      onAxis: (hz: number) => peakingDb(hz, 900, -1.2, 4),
    };
    const [peak] = ofCurves(extra, 'peak');
    expect(peak.correctable).toBe(true);
    expect(peak.levelDb).toBeCloseTo(2.8, 0);
    expect(peak.why).toContain('larger');
  });

  it('says that it does not know when only the axis was measured', () => {
    const { onAxis } = curvesWith({ all: (hz) => peakingDb(hz, 900, 4, 4) });
    const [peak] = find({ frequencyHz: HZ, curves: { onAxis } }, 'peak');
    expect(peak.correctable).toBe(false);
    expect(peak.why).toContain('no other directions were measured');
  });

  it('a resonance out of step with the direct sound is sized as it stands, not as its two halves', () => {
    const twins = (hz: number): number => peakingDb(hz, 760, 5, 5) + peakingDb(hz, 800, -4, 5);
    const found = [...ofCurves({ all: twins }, 'peak'), ...ofCurves({ all: twins }, 'dip')];
    const highest = Math.max(...HZ.map(twins));
    expect(Math.max(...found.map(({ levelDb }) => levelDb ?? 0))).toBeCloseTo(highest, 0);
    expect(found.every(({ levelDb }) => Math.abs(levelDb ?? 0) < 3.5)).toBe(true);
  });

  it('a wide rise is a broad excess, a slope a tilt', () => {
    const [broad] = ofCurves({ all: (hz) => peakingDb(hz, 1500, 3, 0.6) }, 'broad-excess');
    expect(Math.abs(Math.log2(broad.centreHz / 1500))).toBeLessThan(0.25);
    expect(broad.levelDb).toBeCloseTo(3, 0);
    expect(broad.correctable).toBe(true);
    const [tilt] = ofCurves({ all: (hz) => -0.8 * Math.log2(hz / 1000) }, 'tilt');
    // The listening window falls by a tenth of the index besides: 0.06 to 0.16 dB per octave.
    const slope = (tilt.levelDb ?? 0) / Math.log2(tilt.toHz / tilt.fromHz);
    expect(slope).toBeLessThan(-0.84);
    expect(slope).toBeGreaterThan(-0.98);
  });

  it('one reflection is one finding, not a row of dips', () => {
    const comb = (hz: number): number =>
      20 *
      Math.log10(
        Math.hypot(1 + 0.3 * Math.cos((2 * Math.PI * hz) / 900), 0.3 * Math.sin((2 * Math.PI * hz) / 900)),
      );
    const found = findFindings({
      frequencyHz: HZ,
      curves: curvesWith({ onAxis: (hz) => (hz > 300 ? comb(hz) : 0) }),
    });
    const reflection = found.filter(({ why }) => why.includes('one reflection'));
    expect(reflection.length).toBeGreaterThanOrEqual(1);
    expect(reflection[0].correctable).toBe(false);
    expect(found.length).toBeLessThan(8);
  });
});

describe('findings of directivity', () => {
  it('a hump of the index off the axis is a mismatch, not correctable, and no peak', () => {
    const hollow = (hz: number): number => -peakingDb(hz, 2200, 2.5, 2);
    const extra = { earlyReflections: hollow, soundPower: hollow };
    const [mismatch, ...others] = ofCurves(extra, 'directivity-mismatch');
    expect(others).toEqual([]);
    expect(Math.abs(Math.log2(mismatch.centreHz / 2200))).toBeLessThan(1 / 6);
    expect(mismatch.levelDb).toBeCloseTo(2.5, 0);
    expect(mismatch.correctable).toBe(false);
    expect(mismatch.standsIn).toEqual(['earlyReflectionsDirectivityIndex', 'soundPowerDirectivityIndex']);
    expect(ofCurves(extra, 'peak')).toEqual([]);
  });

  it('a step where drivers meet is found near where it is steepest', () => {
    const step = (hz: number): number => 4 / (1 + (2500 / hz) ** 8);
    const found = ofCurves({ earlyReflections: step, soundPower: step }, 'directivity-mismatch');
    expect(found.length).toBeGreaterThanOrEqual(1);
    expect(found.some(({ fromHz, toHz }) => fromHz < 2500 * 1.3 && toHz > 2500 / 1.3)).toBe(true);
  });

  it('vertical nulls keep their angle, frequency and the window that avoids them', () => {
    const [nothing] = find(
      {
        vertical: {
          coverageDeg: { frequencyHz: [], up: [], down: [] },
          nulls: [{ frequencyHz: 2300, angleDeg: -20, depthDb: 18 }],
          usableWindowDeg: { up: 12, down: 9 },
        },
      },
      'vertical-null',
    );
    expect(nothing).toMatchObject({ centreHz: 2300, levelDb: -18, correctable: false });
    expect(nothing.why).toContain('20 degrees below');
  });

  it.each([
    [70, 'wide-coverage'],
    [30, 'narrow-coverage'],
  ] as const)('%i degrees is %s; 50 is neither', (summaryDeg, kind) => {
    const horizontal = (deg: number) => ({
      coverageDeg: { frequencyHz: [1000], left: [deg], right: [deg] },
      summaryDeg: deg,
    });
    expect(find({ horizontal: horizontal(summaryDeg) }, kind)).toHaveLength(1);
    expect(findFindings({ horizontal: horizontal(50) })).toEqual([]);
    expect(findFindings({ horizontal: horizontal(summaryDeg), unitKind: 'subwoofer' })).toEqual([]);
  });

  it('a centre pinched within speech is narrow however wide its treble', () => {
    const horizontal = {
      coverageDeg: { frequencyHz: [300, 1700, 8000], left: [90, 20, 70], right: [90, 22, 70] },
      summaryDeg: 65,
    };
    const [narrow] = find({ horizontal, unitKind: 'centre' }, 'narrow-coverage');
    expect(narrow).toMatchObject({ centreHz: 1700, levelDb: 20, unit: 'degree' });
  });
});

describe('findings of bass, load and loudness', () => {
  it('the bass limit, unless it is deep enough', () => {
    expect(
      find({ bass: { f3Hz: 52, f6Hz: 45, f10Hz: 39, slopeDbPerOctave: 24 } }, 'bass-limit')[0],
    ).toMatchObject({
      toHz: 52,
      centreHz: 52,
      correctable: false,
    });
    expect(findFindings({ bass: { f3Hz: 21 } })).toEqual([]);
  });

  it('distortion: zones of several levels that overlap are one, the worst, with the lowest level in its sentence', () => {
    const at = (levelDb: number, percent: readonly number[]) => ({
      levelDb,
      frequencyHz: [40, 50, 60, 1000],
      thdPercent: percent,
      harmonicsPercent: {},
      above3Percent: [[40, percent[2] > 3 ? 60 : 50]] as const,
    });
    const found = find({ distortion: [at(96, [12, 8, 4, 0.2]), at(86, [5, 3.2, 2, 0.1])] }, 'distortion');
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ fromHz: 40, toHz: 60, centreHz: 40, levelDb: 12, unit: 'percent' });
    expect(found[0].why).toContain('from 86 dB on');
  });

  it('compression takes the worst level and where in the zone it is worst', () => {
    const levels = [{ levelDb: 96, frequencyHz: [40, 60, 100], deviationDb: [-1.2, -2.4, -0.3] }];
    const above1Db = [{ levelDb: 96, fromHz: 40, toHz: 80, worstDb: -2.4 }];
    expect(find({ compression: { referenceDb: 76, levels, above1Db } }, 'compression')[0]).toMatchObject({
      centreHz: 60,
      levelDb: -2.4,
      curve: 'compression 96 dB',
    });
  });

  it('a low impedance and its wrinkles; a wrinkle names the peak it goes with', () => {
    const impedance = {
      minimumOhm: 2.9,
      minimumHz: 180,
      ratedOhm: 3,
      epdrMinimumOhm: 1.6,
      epdrMinimumHz: 120,
      frequencyHz: [100, 150, 180, 220, 400],
      magnitudeOhm: [5, 3.1, 2.9, 3.1, 6],
      wrinkles: [{ frequencyHz: 1250, strength: 4 }],
      amplifierAdvice: '',
    };
    const inputs = {
      frequencyHz: HZ,
      curves: curvesWith({ all: (hz) => peakingDb(hz, 1250, 3, 6) }),
      impedance,
    };
    expect(find(inputs, 'low-impedance')[0]).toMatchObject({
      centreHz: 180,
      levelDb: 2.9,
      unit: 'ohm',
      fromHz: 150,
      toHz: 220,
    });
    expect(find(inputs, 'impedance-wrinkle')[0].why).toContain('likely the same resonance');
    expect(
      findFindings({ impedance: { ...impedance, minimumOhm: 5, epdrMinimumOhm: 3, wrinkles: [] } }),
    ).toEqual([]);
  });
});

describe('on a loudspeaker measured by a usual rig', () => {
  const found = findFindings(analyse(measuredLoudspeaker({}, usualRig)));

  it('findings are few enough to read', () => {
    expect(found.length).toBeLessThan(20);
    expect(found.length).toBeGreaterThan(3);
  });

  it('each is finite, in range and one sentence', () => {
    for (const { fromHz, toHz, centreHz, levelDb, why } of found) {
      expect([fromHz, toHz, centreHz, levelDb ?? 0].every(Number.isFinite)).toBe(true);
      expect(fromHz).toBeLessThanOrEqual(centreHz);
      expect(toHz).toBeGreaterThanOrEqual(centreHz);
      expect(why).toMatch(/^[A-Z].*\.$/);
      expect(why).not.toMatch(/NaN|undefined|audib|inaudib/);
    }
  });
});

it('nothing from nothing', () => {
  expect(findFindings({})).toEqual([]);
});
