import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { defaultLimits } from '../limits.js';
import type { SampleFormat } from './decodeSamples.js';
import { readWav } from './readWav.js';
import { writeWav } from './writeWav.js';

const read = (bytes: Uint8Array) => readWav('x.wav', bytes, defaultLimits);
const formats: readonly SampleFormat[] = [
  { bits: 8, float: false },
  { bits: 16, float: false },
  { bits: 24, float: false },
  { bits: 32, float: false },
  { bits: 32, float: true },
  { bits: 64, float: true },
];

describe('against files of independent writers (scipy.io.wavfile, Python wave; fixtures/makeWavFixtures.py)', () => {
  it.each([
    ['scipy-int16.wav', 2 ** -16, 1],
    ['scipy-uint8.wav', 2 ** -8, 1],
    ['scipy-int32-stereo.wav', 2 ** -32, 2],
    ['scipy-float32.wav', 2 ** -25, 1],
    ['scipy-float64-stereo.wav', 2 ** -52, 2],
    ['python-int24.wav', 2 ** -24, 1],
  ])('%s, to half a step', (name, tolerance, channels) => {
    const { audio } = read(readFileSync(new URL(`../fixtures/${name}`, import.meta.url)));
    expect(audio!.sampleRateHz).toBe(48_000);
    expect(audio!.channels).toHaveLength(channels);
    audio!.channels.forEach((samples, channel) => {
      expect(samples).toHaveLength(64);
      samples.forEach((value, at) => {
        expect(Math.abs(value - Math.sin(0.3 * at + channel) / 2)).toBeLessThanOrEqual(tolerance * 1.0001);
      });
    });
  });
});

it('reads back what was written, to half a step, in every format, with either header', () => {
  const samples = fc.float64Array({ minLength: 1, maxLength: 50, min: -1, max: 1, noNaN: true });
  fc.assert(
    fc.property(
      samples,
      fc.constantFrom(...formats),
      fc.integer({ min: 1, max: 4 }),
      fc.boolean(),
      (values, format, count, extensible) => {
        const channels = Array.from({ length: count }, (_, c) => values.map((value) => value * (1 - c / 8)));
        const { audio } = read(writeWav(channels, 44_100, { format, extensible }));
        const step = format.float ? (format.bits === 32 ? 2 ** -23 : 0) : 2 ** (1 - format.bits);
        audio!.channels.forEach((got, c) => {
          got.forEach((value, at) => {
            // The topmost step of the integer formats is one below full scale.
            const wanted = format.float ? channels[c][at] : Math.min(channels[c][at], 1 - step);
            expect(Math.abs(value - wanted)).toBeLessThanOrEqual(step / 2 + 1e-300);
          });
        });
      },
    ),
  );
});

describe('a header is not believed', () => {
  const good = () =>
    writeWav([Float64Array.from({ length: 100 }, (_, at) => Math.sin(at) / 2)], 48_000, {
      format: { bits: 16, float: false },
    });
  const changed = (change: (view: DataView) => void) => {
    const bytes = good();
    change(new DataView(bytes.buffer));
    return read(bytes).problem?.code;
  };

  it('reads the good one', () => {
    expect(read(good()).problem).toBeUndefined();
  });

  it.each<[string, string, (view: DataView) => void]>([
    ['promises more samples than there are', 'wav-truncated', (view) => view.setUint32(40, 1000, true)],
    ['promises 4 GB', 'wav-truncated', (view) => view.setUint32(40, 0xffffffff, true)],
    ['promises a longer file', 'wav-truncated', (view) => view.setUint32(4, 5000, true)],
    ['has no samples', 'wav-empty', (view) => view.setUint32(40, 0, true)],
    ['ends within a frame', 'wav-truncated', (view) => view.setUint32(40, 199, true)],
    ['says 0 channels', 'wav-header', (view) => view.setUint16(22, 0, true)],
    ['says 2 channels in a mono file', 'wav-header', (view) => view.setUint16(22, 2, true)],
    ['says another rate than its bytes per second', 'wav-header', (view) => view.setUint32(24, 96_000, true)],
    ['says 0 Hz', 'wav-header', (view) => view.setUint32(24, 0, true)],
    ['says 12 bits', 'wav-format', (view) => view.setUint16(34, 12, true)],
    ['says a compressed coding', 'wav-format', (view) => view.setUint16(20, 85, true)],
    ['says extensible in a short chunk', 'wav-header', (view) => view.setUint16(20, 0xfffe, true)],
    ['has a tiny format chunk', 'wav-truncated', (view) => view.setUint32(16, 4, true)],
    ['is RF64', 'not-wav', (view) => view.setUint32(0, 0x34364652, true)],
    ['is something else', 'not-wav', (view) => view.setUint32(8, 0x20495641, true)],
  ])('%s: %s', (_what, code, change) => {
    expect(changed(change)).toBe(code);
  });

  it('refuses a file cut at any byte', () => {
    const bytes = good();
    for (let length = 0; length < bytes.length - 1; length += 1) {
      expect(['not-wav', 'wav-truncated', 'wav-header']).toContain(
        read(bytes.subarray(0, length)).problem?.code,
      );
    }
  });

  it('refuses more samples than the limit', () => {
    expect(readWav('x.wav', good(), { ...defaultLimits, audioFrames: 99 }).problem?.code).toBe(
      'file-too-large',
    );
  });

  it('passes over other chunks before and after the samples', () => {
    const bytes = good();
    const note = new TextEncoder().encode('LIST\x05\0\0\0hello\0');
    const mixed = new Uint8Array(bytes.length + 2 * note.length);
    mixed.set(bytes.subarray(0, 12));
    mixed.set(note, 12);
    mixed.set(bytes.subarray(12), 12 + note.length);
    mixed.set(note, bytes.length + note.length);
    new DataView(mixed.buffer).setUint32(4, mixed.length - 8, true);
    expect(read(mixed).audio?.channels[0]).toStrictEqual(read(bytes).audio?.channels[0]);
  });

  it('never throws on noise behind a RIFF head', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 120 }), fc.boolean(), (noise, headed) => {
        const bytes = headed ? Uint8Array.from([...good().subarray(0, 12), ...noise]) : noise;
        const { audio, problem } = read(bytes);
        expect((audio === undefined) === (problem !== undefined)).toBe(true);
      }),
    );
  });
});
