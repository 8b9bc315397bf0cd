import type { DataFile } from './dataFile.js';

export type SampleFormat = 'float32' | 'pcm24';

const HEADER_BYTES = 44;

/** Mono RIFF WAV; samples relative to digital full scale. Integer samples are rounded and held to full scale. */
export function wavFile(
  name: string,
  samples: ArrayLike<number>,
  sampleRateHz: number,
  format: SampleFormat = 'float32',
): DataFile {
  const width = format === 'float32' ? 4 : 3;
  const bytes = new Uint8Array(HEADER_BYTES + samples.length * width);
  const view = new DataView(bytes.buffer);
  writeHeader(view, samples.length * width, sampleRateHz, width, format);
  for (let index = 0; index < samples.length; index++) {
    const at = HEADER_BYTES + index * width;
    const sample = samples[index] ?? 0;
    if (format === 'float32') view.setFloat32(at, sample, true);
    else writePcm24(view, at, sample);
  }
  return { name, bytes };
}

function writeHeader(
  view: DataView,
  dataBytes: number,
  sampleRateHz: number,
  width: number,
  format: SampleFormat,
): void {
  const mark = (at: number, letters: string) => {
    for (let index = 0; index < 4; index++) view.setUint8(at + index, letters.charCodeAt(index));
  };
  mark(0, 'RIFF');
  view.setUint32(4, HEADER_BYTES - 8 + dataBytes, true);
  mark(8, 'WAVE');
  mark(12, 'fmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, format === 'float32' ? 3 : 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, sampleRateHz, true);
  view.setUint32(28, sampleRateHz * width, true);
  view.setUint16(32, width, true);
  view.setUint16(34, width * 8, true);
  mark(36, 'data');
  view.setUint32(40, dataBytes, true);
}

function writePcm24(view: DataView, at: number, sample: number): void {
  const value = Math.max(-8388608, Math.min(8388607, Math.round(sample * 8388607)));
  view.setUint16(at, value & 0xffff, true);
  view.setInt8(at + 2, value >> 16);
}

export interface WavContent {
  readonly samples: Float64Array;
  readonly sampleRateHz: number;
  readonly format: SampleFormat;
}

/** Reads back what `wavFile` wrote; faults are put into recordings this way. */
export function readWav(file: DataFile): WavContent {
  const view = new DataView(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength);
  const format: SampleFormat = view.getUint16(20, true) === 3 ? 'float32' : 'pcm24';
  const width = format === 'float32' ? 4 : 3;
  const samples = Float64Array.from({ length: (file.bytes.length - HEADER_BYTES) / width }, (_, index) => {
    const at = HEADER_BYTES + index * width;
    if (format === 'float32') return view.getFloat32(at, true);
    return (view.getUint16(at, true) + view.getInt8(at + 2) * 65536) / 8388607;
  });
  return { samples, sampleRateHz: view.getUint32(24, true), format };
}
