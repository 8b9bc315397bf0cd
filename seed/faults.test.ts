import { describe, expect, it } from 'vitest';
import { recordingFaults, textFaults, type Fault } from './faults.js';
import { textOf, type DataFile } from './files/dataFile.js';
import { readRows } from './files/editText.js';
import { measurementSet } from './files/measurementSet.js';
import { readWav } from './files/wavFile.js';

const clean = measurementSet('strand-7', { seed: 5, serial: 'A1' });
const recorded = measurementSet('lumen-6', { seed: 5, parts: ['horizontal', 'distortion'] });

interface Difference {
  readonly added: readonly string[];
  readonly removed: readonly string[];
  readonly changed: readonly string[];
}

function difference(before: readonly DataFile[], after: readonly DataFile[]): Difference {
  const names = (files: readonly DataFile[]) => files.map((file) => file.name);
  const same = (a: DataFile, b: DataFile) => Buffer.compare(Buffer.from(a.bytes), Buffer.from(b.bytes)) === 0;
  return {
    added: names(after).filter((name) => !names(before).includes(name)),
    removed: names(before).filter((name) => !names(after).includes(name)),
    changed: names(
      before.filter((file) => after.some((other) => other.name === file.name && !same(file, other))),
    ),
  };
}

const get = (files: readonly DataFile[], name: string): DataFile => {
  const found = files.find((file) => file.name === name);
  if (!found) throw new Error(`no ${name}`);
  return found;
};

/** Which files each fault touches; the count where it is a whole orbit. */
const touches: Readonly<Record<keyof typeof textFaults, Partial<Difference> | number>> = {
  missingAngle: { removed: ['h+040.csv'] },
  duplicateAngle: { added: ['hor_40.csv'] },
  swappedOrbits: 72,
  verticalSignFlipped: 8,
  verticalMirrored: 34,
  levelStep: { changed: ['h-060.csv'] },
  orbitsDisagree: 36,
  leftRightAsymmetry: 34,
  polarityFlip: { changed: ['h-020.csv'] },
  grilleOn: { changed: ['h+010.csv', 'manifest.json'] },
  identicalFiles: { changed: ['h+060.csv'] },
  impedanceNegative: { changed: ['impedance.csv'] },
  impedancePhaseBeyond90: { changed: ['impedance.csv'] },
  gridDiffers: { changed: ['v+030.csv'] },
  noiseFloor: 72,
  shortWindow: 72,
  serialMismatch: { changed: ['manifest.json'] },
  textGarbage: { changed: ['h-050.csv'] },
};

describe('every text fault touches what it says and nothing else', () => {
  it.each(Object.entries(textFaults) as [keyof typeof textFaults, Fault][])('%s', (name, fault) => {
    const found = difference(clean, fault(clean));
    const wanted = touches[name];
    const sorted = (list: readonly string[] = []) => [...list].sort();
    const expected =
      typeof wanted === 'number'
        ? { added: [], removed: [], changed: wanted }
        : { added: sorted(wanted.added), removed: sorted(wanted.removed), changed: sorted(wanted.changed) };
    const changed = typeof wanted === 'number' ? found.changed.length : sorted(found.changed);
    expect({ ...found, changed }).toEqual(expected);
  });
});

describe('what the faults do', () => {
  it('a level step moves the level alone', () => {
    const before = readRows(get(clean, 'h-060.csv'));
    const after = readRows(get(textFaults.levelStep(clean), 'h-060.csv'));
    after.forEach((cells, row) => {
      expect(cells[0]).toBe(before[row]?.[0]);
      expect((cells[1] ?? 0) - (before[row]?.[1] ?? 0)).toBeCloseTo(3, 3);
      expect(cells[2]).toBe(before[row]?.[2]);
    });
  });

  it('crossed leads turn the phase by half a turn', () => {
    const before = readRows(get(clean, 'h-020.csv'));
    const after = readRows(get(textFaults.polarityFlip(clean), 'h-020.csv'));
    after.forEach((cells, row) => {
      expect(Math.abs((cells[2] ?? 0) - (before[row]?.[2] ?? 0))).toBeCloseTo(180, 6);
      expect(Math.abs(cells[2] ?? 999)).toBeLessThanOrEqual(180);
    });
  });

  it('a mirrored vertical is its own mirror, twice mirrored the clean set', () => {
    const flipped = textFaults.verticalMirrored(clean);
    expect(get(flipped, 'v+020.csv').bytes).toEqual(get(clean, 'v-020.csv').bytes);
    expect(difference(clean, textFaults.verticalMirrored(flipped)).changed).toEqual([]);
  });

  it('impedance turns negative or beyond a right angle', () => {
    const negative = readRows(get(textFaults.impedanceNegative(clean), 'impedance.csv'));
    expect(negative.some((cells) => (cells[1] ?? 0) < 0)).toBe(true);
    const beyond = readRows(get(textFaults.impedancePhaseBeyond90(clean), 'impedance.csv'));
    expect(Math.max(...beyond.map((cells) => cells[2] ?? 0))).toBeGreaterThan(90);
  });

  it('a fan only ever adds sound', () => {
    const before = readRows(get(clean, 'h+180.csv'));
    const after = readRows(get(textFaults.noiseFloor(clean), 'h+180.csv'));
    after.forEach((cells, row) => expect(cells[1]).toBeGreaterThanOrEqual(before[row]?.[1] ?? 0));
  });

  it('the manifest says what was said', () => {
    expect(textOf(get(textFaults.serialMismatch(clean), 'manifest.json'))).toContain('XX-0000-OTHER');
    expect(textOf(get(textFaults.grilleOn(clean), 'manifest.json'))).toContain('"grille": "on"');
    expect(textOf(get(clean, 'manifest.json'))).toContain('"serial": "A1"');
  });

  it('refuses a set it cannot be made in', () => {
    expect(() => textFaults.missingAngle(measurementSet('gravel-12', { seed: 1 }))).toThrow('no file');
    expect(() => textFaults.serialMismatch([])).toThrow('no manifest');
    expect(() => recordingFaults.clippedRecording(clean)).toThrow('no such recording');
  });
});

describe('faults in recordings', () => {
  it('clipping flattens peaks at full scale in one file', () => {
    const faulty = recordingFaults.clippedRecording(recorded);
    expect(difference(recorded, faulty).changed).toHaveLength(1);
    const name = difference(recorded, faulty).changed[0] ?? '';
    const top = readWav(get(faulty, name)).samples.filter((sample) => Math.abs(sample) >= 0.9999999);
    expect(top.length).toBeGreaterThan(3);
  });

  it('a flipped impulse response is its negative', () => {
    const faulty = recordingFaults.impulsePolarityFlip(recorded);
    expect(difference(recorded, faulty).changed).toEqual(['h-020.wav']);
    const before = readWav(get(recorded, 'h-020.wav')).samples;
    readWav(get(faulty, 'h-020.wav')).samples.forEach((sample, at) => expect(sample).toBe(0 - before[at]));
  });

  it('short windows end 4 ms after the peak', () => {
    const faulty = recordingFaults.impulseShortWindow(recorded);
    expect(difference(recorded, faulty).changed).toHaveLength(36);
    const { samples } = readWav(get(faulty, 'h+000.wav'));
    expect(samples.length).toBeLessThan(600);
    expect(samples.length).toBeGreaterThan(300);
  });
});
