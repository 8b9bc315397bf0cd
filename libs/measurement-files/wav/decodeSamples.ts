export interface SampleFormat {
  readonly bits: 8 | 16 | 24 | 32 | 64;
  readonly float: boolean;
}

/**
 * Interleaved little-endian samples to one array per channel, full scale 1.0. 32-bit PCM and 64-bit float need
 * a double to keep their resolution; the rest fits a float32 exactly.
 */
export function decodeSamples(
  view: DataView,
  { start, length }: { readonly start: number; readonly length: number },
  channels: number,
  format: SampleFormat,
): Float32Array[] | Float64Array[] {
  const bytes = format.bits / 8;
  const frames = length / (bytes * channels);
  const read = sampleReader(view, format);
  const wide = format.bits === 64 || (format.bits === 32 && !format.float);
  return Array.from({ length: channels }, (_, channel) => {
    const samples = wide ? new Float64Array(frames) : new Float32Array(frames);
    let at = start + channel * bytes;
    for (let frame = 0; frame < frames; frame += 1, at += bytes * channels) samples[frame] = read(at);
    return samples;
  }) as Float32Array[] | Float64Array[];
}

function sampleReader(view: DataView, { bits, float }: SampleFormat): (at: number) => number {
  if (float) return bits === 32 ? (at) => view.getFloat32(at, true) : (at) => view.getFloat64(at, true);
  switch (bits) {
    case 8:
      return (at) => (view.getUint8(at) - 128) / 128;
    case 16:
      return (at) => view.getInt16(at, true) / 32_768;
    case 24:
      return (at) =>
        (view.getUint8(at) | (view.getUint8(at + 1) << 8) | (view.getInt8(at + 2) << 16)) / 8_388_608;
    default:
      return (at) => view.getInt32(at, true) / 2_147_483_648;
  }
}
