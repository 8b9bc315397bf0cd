import { describe, expect, it } from 'vitest';
import { spectrumOf } from '../physics/fourier.js';
import { logarithmicGrid } from '../physics/frequencyGrid.js';
import { axisModel } from '../physics/axisModel.js';
import { harmonicDistortion } from '../physics/harmonicDistortion.js';
import { playerFor } from '../physics/playback.js';
import { levelsDb, prepare, pressureAt } from '../physics/radiation.js';
import { exponentialSweep, multitone, THIRD_OCTAVES_HZ } from '../physics/stimulus.js';
import { unitDesigns } from '../units/index.js';
import type { DataFile } from './dataFile.js';
import { textOf } from './dataFile.js';
import { readRows } from './editText.js';
import { measurementSet } from './measurementSet.js';
import { setRecipes } from './recipes.js';
import { INVENTED_LINE } from './textTable.js';
import { readWav, wavFile } from './wavFile.js';

const design = (id: string) => {
  const found = unitDesigns.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`no ${id}`);
  return found;
};
const names = (files: readonly DataFile[]) => files.map((file) => file.name);

describe('measurementSet', () => {
  const sedge = measurementSet('sedge-5', { seed: 1, serial: 'S5-1' });

  it('is the same for the same seed and another for another', () => {
    const again = measurementSet('sedge-5', { seed: 1, serial: 'S5-1' });
    expect(again.map((file) => Buffer.from(file.bytes).toString('latin1'))).toEqual(
      sedge.map((file) => Buffer.from(file.bytes).toString('latin1')),
    );
    const other = measurementSet('sedge-5', { seed: 2, serial: 'S5-1' });
    expect(textOf(other[1])).not.toBe(textOf(sedge[1]));
  });

  it('leaving a part out changes no other file', () => {
    const part = measurementSet('sedge-5', { seed: 1, parts: ['vertical'] });
    const whole = sedge.find((file) => file.name === 'v+050.csv');
    expect(part.find((file) => file.name === 'v+050.csv')?.bytes).toEqual(whole?.bytes);
    expect(names(part).filter((name) => name.startsWith('h'))).toEqual([]);
    expect(names(part)).not.toContain('impedance.csv');
  });

  it('holds both orbits, impedance and every level', () => {
    const have = names(sedge);
    for (const orbit of ['h', 'v']) {
      expect(have.filter((name) => new RegExp(`^${orbit}[+-]\\d{3}\\.csv$`).test(name))).toHaveLength(36);
    }
    expect(have).toEqual(
      expect.arrayContaining([
        'manifest.json',
        'impedance.csv',
        'distortion_86db.csv',
        'distortion_96db.csv',
        'multitone_86db.csv',
        'compression_76db.csv',
        'compression_102db.csv',
      ]),
    );
  });

  it('says in every text file and in the manifest that it is invented', () => {
    for (const file of sedge) {
      const words = file.name === 'manifest.json' ? 'invented demo data' : INVENTED_LINE;
      expect(textOf(file)).toContain(words);
    }
  });

  it('states levels as heard at the stated distance and voltage', () => {
    const fen = measurementSet('fen-8', { seed: 1, parts: ['horizontal'] });
    const axis = fen.find((file) => file.name === 'H 0.csv');
    if (!axis) throw new Error('no axis');
    const grid = logarithmicGrid(20, 20000, 48);
    const model = levelsDb(
      pressureAt(prepare(design('fen-8').loudspeaker, grid), {
        orbit: 'horizontal',
        angleDeg: 0,
        distanceM: 2,
      }),
    );
    const shift = 20 * Math.log10(2 / 2.83);
    readRows(axis).forEach((cells, row) => {
      // Noise, ripple and the room together stay under half a dB on axis.
      expect(Math.abs((cells[1] ?? 0) - model[row] - shift)).toBeLessThan(0.5);
    });
  });

  it('an impulse response gives its level back', () => {
    const files = measurementSet('lumen-6', { seed: 1, parts: ['horizontal'] });
    const wav = readWav(files.filter((file) => file.name === 'h+000.wav')[0]);
    const spectrum = spectrumOf(wav.samples, wav.samples.length);
    const grid = { frequencyHz: Float64Array.of(200.05, 1000.25, 5000.125) };
    const place = { orbit: 'horizontal', angleDeg: 0, distanceM: 1.2 } as const;
    const model = levelsDb(pressureAt(prepare(design('lumen-6').loudspeaker, grid), place));
    grid.frequencyHz.forEach((hz, index) => {
      const bin = Math.round((hz * wav.samples.length) / wav.sampleRateHz);
      const level = 20 * Math.log10(Math.hypot(spectrum.re[bin], spectrum.im[bin])) + 94;
      expect(Math.abs(level - model[index])).toBeLessThan(0.5);
    });
  });

  it('leaves the impedance of active units out', () => {
    expect(names(measurementSet('whin-4', { seed: 1, parts: ['impedance'] }))).toEqual(['manifest.json']);
  });

  it('refuses an unknown design', () => {
    expect(() => measurementSet('nothing', { seed: 1 })).toThrow('no invented unit');
  });

  it('every design has one recipe and stays small', () => {
    expect(setRecipes.map((recipe) => recipe.designId).sort()).toEqual(
      unitDesigns.map(({ id }) => id).sort(),
    );
    const bytes = sedge.reduce((sum, file) => sum + file.bytes.length, 0);
    expect(bytes).toBeLessThan(2e6);
  });
});

describe('playing a signal', () => {
  const grid = logarithmicGrid(20, 20000, 48);
  const model = axisModel(design('sedge-5').loudspeaker, grid);
  const size = 2 ** 15;
  const player = playerFor(model, 48000, size);

  /** Amplitudes of the first three harmonics of a tone on a whole number of periods. */
  function harmonics(periods: number, levelDb: number): readonly number[] {
    const tone = Float64Array.from({ length: size }, (_, n) => Math.sin((2 * Math.PI * periods * n) / size));
    const spectrum = spectrumOf(player(tone, levelDb), size);
    return [1, 2, 3].map((order) => {
      const bin = order * periods;
      return (2 * Math.hypot(spectrum.re[bin], spectrum.im[bin])) / size;
    });
  }

  it('plays a tone at the level the response says', () => {
    const [first = 0] = harmonics(683, 86);
    const at = grid.frequencyHz.findIndex((hz) => hz >= 1000.5);
    const expected = 86 + model.levelDb[at] - model.sensitivityDb;
    expect(20 * Math.log10(first / Math.SQRT2)).toBeCloseTo(expected, 0);
  });

  it('distorts about as the curves for the same level say', () => {
    for (const levelDb of [86, 96]) {
      const curves = harmonicDistortion(model, levelDb);
      for (const periods of [55, 68]) {
        const hz = (periods * 48000) / size;
        const bin = grid.frequencyHz.findIndex((frequency) => frequency >= hz);
        const [first = 1, second = 0, third = 0] = harmonics(periods, levelDb);
        // Two ways to the same thing: amplitudes by formula, and a polynomial at work on a signal.
        expect((100 * second) / first / curves.secondPercent[bin]).toBeGreaterThan(0.6);
        expect((100 * second) / first / curves.secondPercent[bin]).toBeLessThan(1.6);
        expect((100 * third) / first / curves.thirdPercent[bin]).toBeGreaterThan(0.5);
        expect((100 * third) / first / curves.thirdPercent[bin]).toBeLessThan(1.8);
      }
    }
  });
});

describe('stimuli', () => {
  it('a sweep passes its frequencies when the formula says', () => {
    // Farina 2000: instantaneous frequency f1 e^(t/L).
    const sweep = exponentialSweep({ fromHz: 20, toHz: 20000, seconds: 5 }, 48000, 0.1, 2 ** 18);
    const rate = 5 / Math.log(1000);
    const start = Math.round((0.1 + rate * Math.log(50)) * 48000);
    let crossings = 0;
    for (let n = start - 2400; n < start + 2400; n++) crossings += sweep[n] < 0 && sweep[n + 1] >= 0 ? 1 : 0;
    expect(crossings / 0.1).toBeGreaterThan(990);
    expect(crossings / 0.1).toBeLessThan(1015);
    expect(sweep.slice(0, 4799).every((sample) => sample === 0)).toBe(true);
  });

  it('a multitone has the power of a sine and whole periods', () => {
    const { signal, frequenciesHz } = multitone(THIRD_OCTAVES_HZ, 48000, 2 ** 16);
    const power = signal.reduce((sum, sample) => sum + sample * sample, 0) / signal.length;
    expect(power).toBeCloseTo(0.5, 9);
    for (const hz of frequenciesHz) expect(Number.isInteger((hz * 2 ** 16) / 48000)).toBe(true);
  });
});

describe('WAV files', () => {
  it.each(['float32', 'pcm24'] as const)('%s comes back', (format) => {
    const samples = [0, 0.5, -0.25, 0.999, -1, 1.2];
    const wav = readWav(wavFile('x.wav', samples, 44100, format));
    expect(wav.sampleRateHz).toBe(44100);
    samples.forEach((sample, at) => {
      const wanted = format === 'pcm24' ? Math.min(1, sample) : sample;
      expect(wav.samples[at]).toBeCloseTo(wanted, 6);
    });
  });
});
