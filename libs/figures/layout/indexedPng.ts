/** A palette image as a PNG data URL, in browser and server alike (PNG, W3C Recommendation / ISO/IEC 15948). */
import { zlibSync } from 'fflate';

const SIGNATURE = [137, 80, 78, 71, 13, 10, 26, 10];

/**
 * `pixels` holds `width * height` palette positions, row by row from the top; position 0 is transparent.
 * `palette` holds up to 256 colours as red, green, blue bytes.
 */
export function indexedPng(pixels: Uint8Array, width: number, height: number, palette: Uint8Array): string {
  const rows = new Uint8Array((width + 1) * height);
  for (let row = 0; row < height; row += 1) {
    rows.set(pixels.subarray(row * width, (row + 1) * width), row * (width + 1) + 1);
  }
  const header = new Uint8Array(13);
  const view = new DataView(header.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  header.set([8, 3, 0, 0, 0], 8);
  const chunks = [
    chunk('IHDR', header),
    chunk('PLTE', palette),
    chunk('tRNS', new Uint8Array(1)),
    chunk('IDAT', zlibSync(rows, { level: 6 })),
    chunk('IEND', new Uint8Array(0)),
  ];
  return `data:image/png;base64,${base64([Uint8Array.from(SIGNATURE), ...chunks])}`;
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const out = new Uint8Array(data.length + 12);
  const view = new DataView(out.buffer);
  view.setUint32(0, data.length);
  for (let index = 0; index < 4; index += 1) out[4 + index] = type.charCodeAt(index);
  out.set(data, 8);
  view.setUint32(data.length + 8, crc32(out.subarray(4, data.length + 8)));
  return out;
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, index) => {
  let value = index;
  for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value;
});

function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (CRC_TABLE[(crc ^ byte) & 255] ?? 0) ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

function base64(parts: readonly Uint8Array[]): string {
  let binary = '';
  for (const part of parts) {
    for (let from = 0; from < part.length; from += 8192) {
      binary += String.fromCharCode(...part.subarray(from, from + 8192));
    }
  }
  return btoa(binary);
}
