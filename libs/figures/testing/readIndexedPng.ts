/** A minimal independent reader of palette PNGs, for the tests. */
import { inflateSync } from 'node:zlib';

export interface IndexedPicture {
  readonly width: number;
  readonly height: number;
  /** Palette position of each pixel, row by row. */
  readonly pixels: readonly number[];
  readonly palette: Uint8Array;
}

export function readIndexedPng(href: string): IndexedPicture {
  const bytes = Buffer.from(href.replace(/^data:image\/png;base64,/, ''), 'base64');
  const found: Record<string, Buffer> = {};
  for (let at = 8; at < bytes.length; at += 12 + bytes.readUInt32BE(at)) {
    const length = bytes.readUInt32BE(at);
    found[bytes.toString('latin1', at + 4, at + 8)] = bytes.subarray(at + 8, at + 8 + length);
  }
  const { IHDR, IDAT, PLTE } = found;
  if (!IHDR || !IDAT || !PLTE) throw new Error('Not a whole palette PNG.');
  const width = IHDR.readUInt32BE(0);
  const height = IHDR.readUInt32BE(4);
  const rows = inflateSync(IDAT);
  const pixels = Array.from({ length: width * height }, (_, index) => {
    const row = Math.floor(index / width);
    return rows[row * (width + 1) + 1 + (index % width)] ?? -1;
  });
  return { width, height, pixels, palette: PLTE };
}
