/** Unpacks a web font so that a renderer which wants plain TrueType or OpenType can read it. */
import { inflateSync } from 'node:zlib';

const HEADER_BYTES = 44;
const ENTRY_BYTES = 20;

interface Table {
  readonly tag: number;
  readonly checksum: number;
  readonly bytes: Uint8Array;
}

/**
 * The TrueType/OpenType file inside a WOFF 1.0 file (W3C Recommendation "WOFF File Format 1.0", 13 December 2012:
 * 44-byte header, 20-byte directory entries, zlib-packed tables). Throws when the bytes are not such a file.
 */
export function woffToSfnt(woff: Uint8Array): Uint8Array {
  const view = new DataView(woff.buffer, woff.byteOffset, woff.byteLength);
  if (woff.length < HEADER_BYTES || view.getUint32(0) !== 0x774f4646) {
    throw new Error(
      'Not a WOFF 1.0 font: its first four bytes are not "wOFF". Use the .woff file, not .woff2.',
    );
  }
  const count = view.getUint16(12);
  const tables = Array.from({ length: count }, (_, index) => readTable(woff, view, index));
  return writeSfnt(view.getUint32(4), tables);
}

function readTable(woff: Uint8Array, view: DataView, index: number): Table {
  const entry = HEADER_BYTES + index * ENTRY_BYTES;
  const offset = view.getUint32(entry + 4);
  const packedLength = view.getUint32(entry + 8);
  const length = view.getUint32(entry + 12);
  const packed = woff.subarray(offset, offset + packedLength);
  const bytes = packedLength < length ? inflateSync(packed, { maxOutputLength: length }) : packed;
  if (bytes.length !== length) throw new Error('Damaged WOFF font: a table unpacks to the wrong length.');
  return { tag: view.getUint32(entry), checksum: view.getUint32(entry + 16), bytes };
}

function writeSfnt(flavour: number, tables: readonly Table[]): Uint8Array {
  const directoryEnd = 12 + 16 * tables.length;
  const total = tables.reduce((sum, { bytes }) => sum + padded(bytes.length), directoryEnd);
  const out = new Uint8Array(total);
  const view = new DataView(out.buffer);
  const power = Math.floor(Math.log2(tables.length));
  view.setUint32(0, flavour);
  view.setUint16(4, tables.length);
  view.setUint16(6, 16 * 2 ** power);
  view.setUint16(8, power);
  view.setUint16(10, 16 * (tables.length - 2 ** power));
  let offset = directoryEnd;
  tables.forEach(({ tag, checksum, bytes }, index) => {
    const entry = 12 + 16 * index;
    view.setUint32(entry, tag);
    view.setUint32(entry + 4, checksum);
    view.setUint32(entry + 8, offset);
    view.setUint32(entry + 12, bytes.length);
    out.set(bytes, offset);
    offset += padded(bytes.length);
  });
  return out;
}

function padded(length: number): number {
  return Math.ceil(length / 4) * 4;
}
