import type { ReadLimits } from '../limits.js';
import { problem, type Problem, type ProblemCode } from '../problem.js';
import { decodeSamples, type SampleFormat } from './decodeSamples.js';

/** A RIFF/WAVE file, samples by channel, relative to digital full scale (1.0). */
export interface WavAudio {
  readonly sampleRateHz: number;
  readonly channels: readonly Float32Array[] | readonly Float64Array[];
  /** Bits of one sample as stored, and whether they are floating point. */
  readonly format: SampleFormat;
}

interface Format {
  readonly sample: SampleFormat;
  readonly channels: number;
  readonly sampleRateHz: number;
  readonly blockAlign: number;
}

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** The tail of a format GUID in WAVE_FORMAT_EXTENSIBLE; its first two bytes are the plain format code. */
const GUID_TAIL = '000000001000800000aa00389b71';

const EXPORT_AGAIN = 'Export or copy the recording again.';
const SUPPORTED = 'Save it as WAV: PCM with 8, 16, 24 or 32 bits, or 32- or 64-bit float.';

class WavFault extends Error {
  constructor(
    readonly code: ProblemCode,
    message: string,
    readonly remedy: string,
  ) {
    super(message);
  }
}

/**
 * Reads WAV (RIFF; PCM 8/16/24/32, float 32/64, plain or WAVE_FORMAT_EXTENSIBLE).
 *
 * Nothing in the header is believed unchecked: every size must lie within the file and agree with the others,
 * so a truncated or lying file is refused instead of being read as something else.
 */
export function readWav(
  file: string,
  bytes: Uint8Array,
  limits: ReadLimits,
): { audio?: WavAudio; problem?: Problem } {
  try {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const chunks = findChunks(view);
    const format = readFormat(view, chunks.format);
    const data = checkData(chunks.data, format, limits);
    const channels = decodeSamples(view, data, format.channels, format.sample);
    return { audio: { sampleRateHz: format.sampleRateHz, channels, format: format.sample } };
  } catch (fault) {
    if (!(fault instanceof WavFault)) throw fault;
    return { problem: problem(file, undefined, fault.code, fault.message, fault.remedy) };
  }
}

interface Span {
  readonly start: number;
  readonly length: number;
}

function findChunks(view: DataView): { format: Span; data: Span } {
  if (view.byteLength < 12)
    throw new WavFault('not-wav', 'The file is too short to be a recording.', EXPORT_AGAIN);
  const id = tag(view, 0);
  if (id !== 'RIFF' || tag(view, 8) !== 'WAVE') {
    const what = id === 'RF64' || id === 'RIFX' ? `an ${id} file` : 'not a WAV file whatever its name says';
    throw new WavFault('not-wav', `This is ${what}.`, SUPPORTED);
  }
  const riffEnd = view.getUint32(4, true) + 8;
  // One byte of grace: some writers count the pad byte of an odd last chunk and leave it out.
  if (riffEnd > view.byteLength + 1) throw truncated(riffEnd, view.byteLength);
  let format: Span | undefined;
  let data: Span | undefined;
  let at = 12;
  while (at + 8 <= view.byteLength && (format === undefined || data === undefined)) {
    const span = { start: at + 8, length: view.getUint32(at + 4, true) };
    const name = tag(view, at);
    if (span.start + span.length > view.byteLength)
      throw truncated(span.start + span.length, view.byteLength);
    if (name === 'fmt ') format ??= span;
    else if (name === 'data') data ??= span;
    at = span.start + span.length + (span.length % 2);
  }
  if (format === undefined)
    throw new WavFault('wav-header', 'The file has no format chunk before its end.', EXPORT_AGAIN);
  if (data === undefined) throw new WavFault('wav-header', 'The file has no samples chunk.', EXPORT_AGAIN);
  return { format, data };
}

function truncated(promised: number, actual: number): WavFault {
  const message = `The header promises ${promised} bytes and the file has ${actual}: it was cut short, or is still being written.`;
  return new WavFault('wav-truncated', message, EXPORT_AGAIN);
}

function readFormat(view: DataView, { start, length }: Span): Format {
  if (length < 16)
    throw new WavFault('wav-header', `The format chunk has ${length} bytes; 16 are needed.`, EXPORT_AGAIN);
  let code = view.getUint16(start, true);
  const channels = view.getUint16(start + 2, true);
  const sampleRateHz = view.getUint32(start + 4, true);
  const byteRate = view.getUint32(start + 8, true);
  const blockAlign = view.getUint16(start + 12, true);
  const bits = view.getUint16(start + 14, true);
  if (code === EXTENSIBLE) code = extensibleCode(view, start, length);
  const sample = sampleFormat(code, bits);
  if (channels < 1 || channels > 64)
    throw new WavFault('wav-header', `The header says ${channels} channels.`, EXPORT_AGAIN);
  if (sampleRateHz < 4000 || sampleRateHz > 1_600_000) {
    throw new WavFault('wav-header', `The header says a sample rate of ${sampleRateHz} Hz.`, EXPORT_AGAIN);
  }
  if (blockAlign !== (channels * bits) / 8 || byteRate !== blockAlign * sampleRateHz) {
    const message = `The header contradicts itself: ${channels} channels of ${bits} bits at ${sampleRateHz} Hz do not make ${blockAlign} bytes a frame and ${byteRate} bytes a second.`;
    throw new WavFault('wav-header', message, EXPORT_AGAIN);
  }
  return { sample, channels, sampleRateHz, blockAlign };
}

function extensibleCode(view: DataView, start: number, length: number): number {
  if (length < 40)
    throw new WavFault('wav-header', 'The extensible format chunk is too short.', EXPORT_AGAIN);
  let tail = '';
  for (let at = start + 26; at < start + 40; at += 1) tail += view.getUint8(at).toString(16).padStart(2, '0');
  if (tail !== GUID_TAIL)
    throw new WavFault('wav-format', 'The samples are in a coding that is not read here.', SUPPORTED);
  return view.getUint16(start + 24, true);
}

function sampleFormat(code: number, bits: number): SampleFormat {
  if (code === PCM && (bits === 8 || bits === 16 || bits === 24 || bits === 32))
    return { bits, float: false };
  if (code === FLOAT && (bits === 32 || bits === 64)) return { bits, float: true };
  const known = code === PCM ? 'PCM' : code === FLOAT ? 'float' : `coding ${code}`;
  throw new WavFault('wav-format', `Samples of ${bits} bits ${known} are not read here.`, SUPPORTED);
}

function checkData(data: Span, format: Format, limits: ReadLimits): Span {
  if (data.length === 0) throw new WavFault('wav-empty', 'The recording holds no samples.', EXPORT_AGAIN);
  if (data.length % format.blockAlign !== 0) {
    const message = `The samples (${data.length} bytes) do not divide into frames of ${format.blockAlign} bytes.`;
    throw new WavFault('wav-truncated', message, EXPORT_AGAIN);
  }
  const frames = data.length / format.blockAlign;
  if (frames > limits.audioFrames) {
    const message = `The recording has ${frames} samples; at most ${limits.audioFrames} are read.`;
    throw new WavFault('file-too-large', message, 'Cut it to the part that matters.');
  }
  return data;
}

function tag(view: DataView, at: number): string {
  return String.fromCharCode(
    view.getUint8(at),
    view.getUint8(at + 1),
    view.getUint8(at + 2),
    view.getUint8(at + 3),
  );
}
