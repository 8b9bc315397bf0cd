import { describe, expect, it } from 'vitest';
import type { AnalysisSettings, Curves, Finding } from '../analysis.js';
import { defaultSettings } from '../defaultSettings.js';
import { findFindings } from '../findings/findFindings.js';
import { plantedUnit, type PlantedFeature, type PlantedUnit } from '../findings/testing/plantedUnit.js';
import { logGridHz } from '../grid/logGridHz.js';
import { inRoomTrend } from '../response/inRoomTrend.js';
import { addShapeDb } from './addShapeDb.js';
import { biquadResponseDb } from './biquadResponseDb.js';
import { isDirectivityFault } from './isDirectivityFault.js';
import { proposeEqualiser } from './proposeEqualiser.js';

const RATE_HZ = 48_000;
/** What "no boost" means here: at most what a correctable dip's skirt takes away there, up to a quarter of a dB. */
const NO_BOOST_DB = 0.2501;

/** The finding a planted feature should give, its edges at half its level. */
function asFinding({ centreHz, levelDb, q, reach }: PlantedFeature): Finding {
  const halfOctaves = Math.asinh(1 / (2 * q)) / Math.LN2;
  return {
    kind: levelDb > 0 ? 'peak' : 'dip',
    fromHz: centreHz / 2 ** halfOctaves,
    toHz: centreHz * 2 ** halfOctaves,
    centreHz,
    levelDb,
    q,
    correctable: reach === 'everywhere',
    why: 'planted',
  };
}

function propose(
  { frequencyHz, curves }: Pick<PlantedUnit, 'frequencyHz' | 'curves'>,
  findings: readonly Finding[],
  settings: Partial<AnalysisSettings> = {},
) {
  return proposeEqualiser({ frequencyHz, curves, findings, settings: { ...defaultSettings, ...settings } });
}

/** Highest gain on the grid inside the findings' bands; -Infinity when there are none. */
function highestGainDb(
  proposal: NonNullable<ReturnType<typeof propose>>,
  frequencyHz: readonly number[],
  bands: readonly Finding[],
): number {
  const gains = biquadResponseDb(proposal.filters, frequencyHz, proposal.sampleRateHz);
  const inside = frequencyHz.map((hz) => bands.some(({ fromHz, toHz }) => hz >= fromHz && hz <= toHz));
  return Math.max(-Infinity, ...gains.filter((_, i) => inside[i]));
}

/** The most a fault's band is lifted beyond what the skirts of correctable dips take from it. */
function liftBeyondSkirtsDb(
  proposal: NonNullable<ReturnType<typeof propose>>,
  frequencyHz: readonly number[],
  findings: readonly Finding[],
): number {
  const bands = findings.filter(isDirectivityFault);
  const gains = biquadResponseDb(proposal.filters, frequencyHz, proposal.sampleRateHz);
  const skirts = new Float64Array(frequencyHz.length);
  for (const one of findings.filter(({ correctable }) => correctable)) {
    addShapeDb({ ...one, kind: 'bell', levelDb: one.levelDb ?? 0, q: one.q ?? 1 }, frequencyHz, skirts);
  }
  const lifts = frequencyHz.map((hz, i) =>
    bands.some(({ fromHz, toHz }) => hz >= fromHz && hz <= toHz)
      ? gains[i] - Math.max(0, -skirts[i])
      : -Infinity,
  );
  return Math.max(...lifts);
}

const medianOf = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1];

/** A unit with the same curve in every direction: a level and what the shapes add to it. */
function flatUnit(
  shapes: readonly Finding[],
  slopeDbPerOctave = 0,
): Pick<PlantedUnit, 'frequencyHz' | 'curves'> {
  const frequencyHz = Array.from(logGridHz(20, 20_000));
  const sum = Float64Array.from(frequencyHz, (hz) => 86 + slopeDbPerOctave * Math.log2(hz / 1000));
  for (const { fromHz, toHz, centreHz, levelDb = 0, q = 1 } of shapes) {
    addShapeDb({ kind: 'bell', fromHz, toHz, centreHz, levelDb, q }, frequencyHz, sum);
  }
  const curve = Array.from(sum);
  const curves: Curves = {
    onAxis: curve,
    listeningWindow: curve,
    earlyReflections: curve,
    soundPower: curve,
    estimatedInRoom: curve,
  };
  return { frequencyHz, curves };
}

const resonance = (centreHz: number, levelDb: number, q: number): Finding =>
  asFinding({ centreHz, levelDb, q, reach: 'everywhere' });
const fault = (kind: Finding['kind'], centreHz: number, levelDb: number): Finding => ({
  ...resonance(centreHz, levelDb, 3),
  kind,
  correctable: false,
});

describe('proposeEqualiser on 50 planted units, each of ten resonances and directivity faults', () => {
  const units = Array.from({ length: 50 }, (_, at) => plantedUnit(7000 + at));
  const started = process.cpuUsage();
  const proposals = units.map((unit) => propose(unit, unit.features.map(asFinding)));
  const spent = process.cpuUsage(started);
  const rows = units.flatMap((unit, at) => {
    const proposal = proposals[at];
    return proposal ? [{ unit, proposal, findings: unit.features.map(asFinding) }] : [];
  });

  it('lowers the residual of the in-room trend of every one', () => {
    expect(rows).toHaveLength(50);
    const ratios = rows.map(({ proposal }) => proposal.after.residualRmsDb / proposal.before.residualRmsDb);
    console.log(`residual after / before: ${ratios.map((ratio) => ratio.toFixed(2)).join(' ')}`);
    console.log(`median ${medianOf(ratios).toFixed(3)}, highest ${Math.max(...ratios).toFixed(3)}`);
    for (const ratio of ratios) expect(ratio).toBeLessThan(1);
    expect(medianOf(ratios)).toBeLessThan(0.6);
  });

  it('raises the predicted preference of nearly all, and by more than a point in the median', () => {
    const gains = rows.map(
      ({ proposal: { before, after } }) =>
        (after.predictedPreference ?? NaN) - (before.predictedPreference ?? NaN),
    );
    console.log(
      `preference gained: median ${medianOf(gains).toFixed(2)}, least ${Math.min(...gains).toFixed(2)}`,
    );
    expect(gains.filter((gain) => gain > 0).length).toBeGreaterThanOrEqual(48);
    expect(medianOf(gains)).toBeGreaterThan(1);
  });

  it('never boosts a directivity fault', () => {
    let faults = 0;
    let highest = -Infinity;
    for (const { unit, proposal, findings } of rows) {
      const bands = findings.filter(isDirectivityFault);
      faults += bands.length;
      highest = Math.max(highest, highestGainDb(proposal, unit.frequencyHz, bands));
      for (const { frequencyHz } of proposal.filters.filter(({ gainDb }) => gainDb > 0)) {
        const nearest = Math.min(...bands.map(({ centreHz }) => Math.abs(Math.log2(centreHz / frequencyHz))));
        expect(nearest).toBeGreaterThan(1 / 6);
      }
      expect(liftBeyondSkirtsDb(proposal, unit.frequencyHz, findings)).toBeLessThan(0.0501);
    }
    expect(faults).toBeGreaterThan(100);
    expect(highest).toBeLessThan(NO_BOOST_DB);
    console.log(`${faults} directivity faults, highest gain inside one ${highest.toFixed(2)} dB`);
  });

  it('keeps to the number of filters, the boost limit and the headroom it states', () => {
    for (const { proposal } of rows) {
      expect(proposal.filters.length).toBeLessThanOrEqual(6);
      const fine = Array.from(logGridHz(20, 20_000, 8));
      const highest = Math.max(0, ...biquadResponseDb(proposal.filters, fine, RATE_HZ));
      expect(highest).toBeLessThan(3.02);
      expect(Math.abs(proposal.headroomDb - highest)).toBeLessThan(0.02);
    }
  });

  it('takes less than 60 ms of processor time each', () => {
    const each = (spent.user + spent.system) / 1000 / 50;
    console.log(`${each.toFixed(1)} ms each`);
    expect(each).toBeLessThan(60);
  });
});

describe('proposeEqualiser on what the findings found', () => {
  it.each([1, 2, 3, 4])('helps planted unit %i without boosting a fault', (seed) => {
    const unit = plantedUnit(seed);
    const findings = findFindings(unit);
    const proposal = propose(unit, findings);
    if (!proposal) throw new Error('there are correctable findings');
    const ratio = proposal.after.residualRmsDb / proposal.before.residualRmsDb;
    console.log(`unit ${seed}: residual after / before ${ratio.toFixed(3)}`);
    expect(ratio).toBeLessThan(1);
    const bands = findings.filter(isDirectivityFault);
    expect(highestGainDb(proposal, unit.frequencyHz, bands)).toBeLessThan(NO_BOOST_DB);
  });
});

describe('proposeEqualiser', () => {
  const three = [resonance(90, 5, 2), resonance(800, -2.5, 3), resonance(5000, 4, 4)];

  it('undoes resonances with one filter each and does nothing elsewhere', () => {
    const unit = flatUnit(three);
    const proposal = propose(unit, three);
    expect(proposal?.filters.map(({ type }) => type)).toEqual(['peaking', 'peaking', 'peaking']);
    proposal?.filters.forEach((filter, at) => {
      expect(Math.abs(Math.log2(filter.frequencyHz / three[at].centreHz))).toBeLessThan(0.02);
      expect(filter.gainDb).toBeCloseTo(-(three[at].levelDb ?? 0), 0.5);
    });
    const after = proposal?.after.onAxis ?? [];
    expect(Math.max(...after) - Math.min(...after)).toBeLessThan(0.3);
    expect(proposal?.before.residualRmsDb).toBe(
      inRoomTrend(unit.frequencyHz, unit.curves.estimatedInRoom ?? [])?.residualRmsDb,
    );
  });

  it('proposes nothing where nothing is correctable', () => {
    const unit = flatUnit(three);
    expect(propose(unit, [])).toBeUndefined();
    expect(
      propose(
        unit,
        three.map((one) => ({ ...one, correctable: false })),
      ),
    ).toBeUndefined();
    expect(propose(unit, [{ ...three[0], kind: 'bass-limit' }])).toBeUndefined();
    expect(propose({ ...unit, curves: {} }, three)).toBeUndefined();
    expect(propose(unit, three, { maximumFilters: 0 })).toBeUndefined();
  });

  it.each(['dip', 'broad-deficit', 'directivity-mismatch', 'vertical-null'] as const)(
    'gives up a boost where a %s that no equaliser can correct stands in the same place',
    (kind) => {
      const dip = resonance(2000, -4, 3);
      const unit = flatUnit([dip, three[0]]);
      const free = propose(unit, [dip, three[0]]);
      const bands = [fault(kind, 2000, -4)];
      const held = propose(unit, [dip, three[0], ...bands]);
      if (!free || !held) throw new Error('the peak is correctable in both');
      expect(highestGainDb(free, unit.frequencyHz, bands)).toBeGreaterThan(2.5);
      expect(highestGainDb(held, unit.frequencyHz, bands)).toBeLessThan(NO_BOOST_DB);
    },
  );

  it('keeps boosts within the limit asked for', () => {
    const dips = [resonance(900, -8, 2), resonance(1300, -8, 2)];
    for (const maximumBoostDb of [0, 1, 6]) {
      const proposal = propose(flatUnit([...dips, three[0]]), [...dips, three[0]], { maximumBoostDb });
      expect(proposal?.filters.some(({ gainDb }) => gainDb < 0)).toBe(true);
      expect(proposal?.headroomDb).toBeLessThan(maximumBoostDb + 0.02);
      expect(proposal?.headroomDb).toBeGreaterThan(maximumBoostDb - 0.5);
    }
  });

  it('leaves out what is not worth a filter and spends few filters on the largest', () => {
    const tiny = resonance(2500, 0.1, 8);
    expect(propose(flatUnit([...three, tiny]), [...three, tiny])?.filters).toHaveLength(3);
    const [only, ...others] = propose(flatUnit(three), three, { maximumFilters: 1 })?.filters ?? [];
    expect(others).toHaveLength(0);
    expect(Math.abs(Math.log2(only.frequencyHz / 90))).toBeLessThan(0.1);
  });

  it.each([-1, -0.6, 0.6, 1])(
    'turns a tilt of %d dB per octave back with shelves to what makers choose',
    (slope) => {
      const tilt: Finding = {
        kind: 'tilt',
        fromHz: 100,
        toHz: 16_000,
        centreHz: Math.sqrt(100 * 16_000),
        levelDb: slope * Math.log2(160),
        correctable: true,
        why: 'planted',
      };
      const unit = flatUnit([], slope);
      expect(propose(unit, [{ ...tilt, levelDb: 0.29 * Math.log2(160) }])).toBeUndefined();
      const held = [fault('vertical-null', 2200, -8)];
      for (const bands of [[], held]) {
        const proposal = propose(unit, [tilt, ...bands]);
        if (!proposal) throw new Error('a tilt is correctable');
        expect(proposal.filters.every(({ type }) => type.endsWith('shelf'))).toBe(true);
        const after = inRoomTrend(unit.frequencyHz, proposal.after.listeningWindow ?? []);
        expect(after?.slopeDbPerOctave).toBeCloseTo(0.3 * Math.sign(slope), 0.8);
        expect(after?.residualRmsDb).toBeLessThan(0.15);
        expect(highestGainDb(proposal, unit.frequencyHz, bands)).toBeLessThan(NO_BOOST_DB);
      }
    },
  );

  it('works at other sample rates, with filters below half of them', () => {
    for (const equaliserSampleRateHz of [8000, 44_100, 192_000]) {
      const proposal = propose(flatUnit(three), three, { equaliserSampleRateHz });
      expect(proposal?.filters).toHaveLength(equaliserSampleRateHz === 8000 ? 2 : 3);
      expect(proposal?.sampleRateHz).toBe(equaliserSampleRateHz);
    }
  });

  it('corrects the axis alone where there is nothing else, and says nothing of preference', () => {
    const { frequencyHz, curves } = flatUnit(three);
    const proposal = propose({ frequencyHz, curves: { onAxis: curves.onAxis } }, three);
    expect(Object.keys(proposal?.after ?? {}).sort()).toEqual(['onAxis', 'residualRmsDb']);
    expect(proposal?.after.residualRmsDb).toBeLessThan(0.2 * (proposal?.before.residualRmsDb ?? 0));
  });
});
