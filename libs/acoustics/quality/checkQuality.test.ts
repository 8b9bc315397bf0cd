import { describe, expect, it } from 'vitest';
import { prepareDirectivity } from '../orbits/prepareDirectivity.js';
import type { MeasurementSet, QualityFinding } from '../series.js';
import { emptySet } from '../testing/emptySet.js';
import { measuredLoudspeaker, usualRig } from '../testing/measuredLoudspeaker.js';
import { orbitsOf } from '../testing/orbitsOf.js';
import { pistonPattern } from '../testing/pistonPattern.js';
import { checkQuality } from './checkQuality.js';
import { cleanTwins } from './testing/cleanTwins.js';
import { FAULTS, type Fault } from './testing/faults.js';

const twins = cleanTwins();

/** What asks for action; notes are for the record. */
function alarms(set: MeasurementSet): QualityFinding[] {
  return checkQuality(set, prepareDirectivity(set)).filter(({ severity }) => severity !== 'note');
}

const cleanCodes = Object.values(twins).flatMap((set) => alarms(set).map(({ code }) => code));

interface Row {
  readonly fault: string;
  readonly shown: number;
  readonly detected: number;
  /** Alarms of other codes than the fault's and its rightful companions', and in clean twins of its own. */
  readonly falseAlarms: number;
}

function row(fault: Fault): Row {
  const able = Object.entries(twins).filter(([name]) => !fault.hiddenIn?.includes(name));
  const faulty = able.flatMap(([, set]) => fault.apply(set) ?? []);
  const found = faulty.map((set) => alarms(set));
  const isIt = ({ code, severity }: QualityFinding): boolean =>
    code === fault.code && (fault.severity === 'check' || severity === 'blocking');
  const allowed = new Set([fault.code, ...(fault.also ?? [])]);
  const inClean = cleanCodes.filter((code) => code === fault.code);
  return {
    fault: fault.name,
    shown: faulty.length,
    detected: found.filter((findings) => findings.some((finding) => isIt(finding))).length,
    falseAlarms: found.flat().filter(({ code }) => !allowed.has(code)).length + inClean.length,
  };
}

describe('checkQuality', () => {
  it.each(Object.keys(twins))('is silent on the clean twin: %s', (name) => {
    expect(alarms(twins[name]).map(({ code, message }) => `${code}: ${message}`)).toEqual([]);
  });

  const table = FAULTS.map((fault) => row(fault));

  it.each(table)('$fault: detected $detected of $shown, $falseAlarms false alarms', (line) => {
    expect(line.shown).toBeGreaterThanOrEqual(4);
    expect(line).toEqual({ ...line, detected: line.shown, falseAlarms: 0 });
  });

  it('takes calculated data for what it is, once, and blocks nothing', () => {
    const frequencyHz = Float64Array.from({ length: 200 }, (_, k) => 20 * 1000 ** (k / 199));
    const piston = (angleDeg: number, hz: number): number =>
      86 +
      20 *
        Math.log10(
          (Math.abs(pistonPattern(hz / 1100, angleDeg)) * (1.02 + Math.cos((angleDeg * Math.PI) / 180))) /
            2.02,
        );
    const angles = orbitsOf(
      frequencyHz,
      (_, angleDeg, hz) => Math.round(100 * piston(Math.abs(angleDeg), hz)) / 100,
    );
    // A piston without a box has no roll-off either, which is worth a look.
    expect(alarms(emptySet({ angles })).map(({ severity, code }) => `${severity} ${code}`)).toEqual([
      'check identical-files',
      'check short-window',
    ]);
  });

  it('lets the orbits share their 0 and 180 files', () => {
    const set = twins['two-way on a good rig'];
    const shared = set.angles.map((angle) => {
      const other = set.angles.find((one) => one.orbit === 'horizontal' && one.angleDeg === angle.angleDeg);
      const meets = angle.angleDeg === 0 || angle.angleDeg === 180;
      return meets && other ? { ...angle, levelDb: other.levelDb, source: other.source } : angle;
    });
    expect(alarms({ ...set, angles: shared })).toEqual([]);
  });

  it('shows curves with every alarm that has any to show', () => {
    const set = twins['two-way on a good rig'];
    const bare = FAULTS.flatMap((fault) => {
      const faulty = fault.apply(set);
      return faulty ? alarms(faulty).filter(({ evidence }) => (evidence?.curves.length ?? 0) === 0) : [];
    });
    // A whole missing orbit has nothing to stand beside; a distortion file and a level have no curve.
    expect([...new Set(bare.map(({ code }) => code))].sort()).toEqual([
      'identical-files',
      'level-implausible',
      'missing-angle',
    ]);
  });

  it('names file, evidence and remedy', () => {
    const fault = FAULTS.find(({ name }) => name === 'one file 2 dB up');
    const set = fault?.apply(twins['two-way on a good rig']);
    const [finding] = set ? alarms(set) : [];
    expect(finding.file).toBe('h+050.csv');
    expect(finding.message).toContain('horizontal +50° stands 2.');
    expect(finding.message).toContain('measure it again');
    expect(finding.evidence?.curves.map(({ label }) => label)).toEqual([
      'horizontal +50°',
      'horizontal +40°',
      'horizontal +60°',
    ]);
    for (const { values } of finding.evidence?.curves ?? []) {
      expect(values).toHaveLength(finding.evidence?.frequencyHz.length ?? 0);
    }
  });

  it('raises nothing blocking on forty more honest loudspeakers', () => {
    const blocked = Array.from({ length: 40 }, (_, k) => {
      const model = {
        spacingM: 0.13 + 0.006 * (k % 20),
        crossoverHz: 1500 + 80 * ((k * 7) % 19),
        tweeterOffsetM: 0.002 * ((k * 3) % 21) - 0.02,
        recessM: 0.002 * ((k * 5) % 16),
        wooferRadiusM: 0.05 + 0.002 * (k % 11),
        cabinetWidthM: 0.16 + 0.004 * (k % 17),
        bassCornerHz: 28 + 2 * (k % 30),
        rear: k % 10 === 9 ? -1 : 0.05 + 0.01 * (k % 9),
      };
      const rig = {
        ...usualRig,
        seed: 100 + k,
        gainDb: 0.05 + 0.01 * (k % 10),
        reflection: 0.002 * (k % 12),
      };
      return alarms(measuredLoudspeaker(model, rig, 160)).map(
        ({ severity, code }) => `${k} ${severity} ${code}`,
      );
    }).flat();
    expect(blocked.filter((alarm) => alarm.includes('blocking'))).toEqual([]);
    // A check asks for a look; a few in forty sets are bearable.
    expect({ blocked, few: blocked.length <= 3 }).toEqual({ blocked, few: true });
  });
});
