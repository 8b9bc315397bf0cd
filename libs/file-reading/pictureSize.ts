/** How large a picture says it is, from its header alone: nothing is unpacked. */
export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** @returns undefined when the bytes are no PNG, JPEG or WebP, or end before the size */
export function pictureSize(bytes: Uint8Array): PictureSize | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    return pngSize(view) ?? webpSize(view) ?? jpegSize(view);
  } catch (cause) {
    // A header that points past its end.
    if (cause instanceof RangeError) return undefined;
    throw cause;
  }
}

const text = (view: DataView, at: number, length: number): string =>
  String.fromCharCode(...new Uint8Array(view.buffer, view.byteOffset + at, length));

/** PNG (ISO/IEC 15948, 11.2.2): the first chunk is IHDR. */
function pngSize(view: DataView): PictureSize | undefined {
  if (view.getUint32(0) !== 0x89_50_4e_47 || text(view, 12, 4) !== 'IHDR') return undefined;
  return { widthPx: view.getUint32(16), heightPx: view.getUint32(20) };
}

/** WebP (RFC 9649): one of three first chunks. */
function webpSize(view: DataView): PictureSize | undefined {
  if (text(view, 0, 4) !== 'RIFF' || text(view, 8, 4) !== 'WEBP') return undefined;
  const chunk = text(view, 12, 4);
  const uint24 = (at: number) => view.getUint16(at, true) | (view.getUint8(at + 2) << 16);
  if (chunk === 'VP8X') return { widthPx: uint24(24) + 1, heightPx: uint24(27) + 1 };
  if (chunk === 'VP8 ')
    return { widthPx: view.getUint16(26, true) & 0x3fff, heightPx: view.getUint16(28, true) & 0x3fff };
  if (chunk !== 'VP8L') return undefined;
  const bits = view.getUint32(21, true);
  return { widthPx: (bits & 0x3fff) + 1, heightPx: ((bits >>> 14) & 0x3fff) + 1 };
}

const JPEG_FRAMES = new Set([0xc0, 0xc1, 0xc2, 0xc3, 0xc5, 0xc6, 0xc7, 0xc9, 0xca, 0xcb, 0xcd, 0xce, 0xcf]);

/** JPEG (ITU-T T.81, annex B): segments until the frame's header. */
function jpegSize(view: DataView): PictureSize | undefined {
  if (view.getUint16(0) !== 0xff_d8) return undefined;
  for (let at = 2; ;) {
    if (view.getUint8(at) !== 0xff) return undefined;
    const marker = view.getUint8(at + 1);
    // Fill bytes may stand before a marker.
    if (marker === 0xff) at += 1;
    else if (JPEG_FRAMES.has(marker))
      return { heightPx: view.getUint16(at + 5), widthPx: view.getUint16(at + 7) };
    else at += 2 + Math.max(2, view.getUint16(at + 2));
  }
}
