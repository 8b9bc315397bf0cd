import type { SampleFormat } from './decodeSamples.js';

/** A header for `WAVE_FORMAT_EXTENSIBLE` has this GUID after its two bytes of plain format code. */
const GUID_TAIL = [0, 0, 0, 0, 16, 0, 128, 0, 0, 170, 0, 56, 155, 113];

export interface WavOptions {
  readonly format: SampleFormat;
  /** Writes the longer header that some recorders write. */
  readonly extensible?: boolean;
}

/**
 * Writes a RIFF/WAVE file. Samples beyond full scale (1.0) are clipped in the integer formats.
 *
 * @param channels equally long, at least one
 * @throws RangeError when they are not
 */
export function writeWav(
  channels: readonly (Float32Array | Float64Array)[],
  sampleRateHz: number,
  { format, extensible = false }: WavOptions,
): Uint8Array {
  const frames = channels[0]?.length ?? 0;
  if (frames === 0 || channels.some((samples) => samples.length !== frames)) {
    throw new RangeError('the channels of a WAV file must have one length above zero');
  }
  const bytesPerSample = format.bits / 8;
  const blockAlign = bytesPerSample * channels.length;
  const headerLength = extensible ? 40 : 16;
  const dataLength = frames * blockAlign;
  const total = 12 + 8 + headerLength + 8 + dataLength + (dataLength % 2);
  const view = new DataView(new ArrayBuffer(total));
  putTag(view, 0, 'RIFF');
  view.setUint32(4, total - 8, true);
  putTag(view, 8, 'WAVE');
  putTag(view, 12, 'fmt ');
  view.setUint32(16, headerLength, true);
  const code = format.float ? 3 : 1;
  view.setUint16(20, extensible ? 0xfffe : code, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, sampleRateHz, true);
  view.setUint32(28, sampleRateHz * blockAlign, true);
  view.setUint16(32, blockAlign, true);
  view.setUint16(34, format.bits, true);
  if (extensible) putExtension(view, 36, format.bits, code);
  const dataAt = 20 + headerLength;
  putTag(view, dataAt, 'data');
  view.setUint32(dataAt + 4, dataLength, true);
  const put = sampleWriter(view, format);
  channels.forEach((samples, channel) => {
    let at = dataAt + 8 + channel * bytesPerSample;
    for (let frame = 0; frame < frames; frame += 1, at += blockAlign) put(at, samples[frame]);
  });
  return new Uint8Array(view.buffer);
}

function putTag(view: DataView, at: number, tag: string): void {
  for (let index = 0; index < 4; index += 1) view.setUint8(at + index, tag.charCodeAt(index));
}

function putExtension(view: DataView, at: number, bits: number, code: number): void {
  view.setUint16(at, 22, true);
  view.setUint16(at + 2, bits, true);
  view.setUint16(at + 8, code, true);
  GUID_TAIL.forEach((byte, index) => view.setUint8(at + 10 + index, byte));
}

function sampleWriter(view: DataView, { bits, float }: SampleFormat): (at: number, value: number) => void {
  if (float)
    return bits === 32
      ? (at, value) => view.setFloat32(at, value, true)
      : (at, value) => view.setFloat64(at, value, true);
  const scale = 2 ** (bits - 1);
  const whole = (value: number) => Math.max(-scale, Math.min(scale - 1, Math.round(value * scale)));
  switch (bits) {
    case 8:
      return (at, value) => view.setUint8(at, whole(value) + 128);
    case 16:
      return (at, value) => view.setInt16(at, whole(value), true);
    case 24:
      return (at, value) => {
        const sample = whole(value);
        view.setUint16(at, sample & 0xffff, true);
        view.setInt8(at + 2, sample >> 16);
      };
    default:
      return (at, value) => view.setInt32(at, whole(value), true);
  }
}
