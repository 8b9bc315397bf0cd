import { problem, type Problem } from '../problem.js';

const NEEDS_TEXT = 'Save it as plain text (UTF-8) with one row per frequency, or leave it out.';

/**
 * Bytes to text with `\n` line ends, whatever the computer that wrote them: UTF-8 with or without a byte-order
 * mark, UTF-16 with one, and as a last resort Windows-1252 (degree and ohm signs of older programs).
 * Binary content is refused.
 */
export function decodeText(file: string, bytes: Uint8Array): { text?: string; problem?: Problem } {
  if (bytes.length === 0) {
    const message = 'The file is empty.';
    return { problem: problem(file, undefined, 'empty-file', message, 'Export or copy it again.') };
  }
  const encoding = utf16ByMark(bytes);
  if (encoding === undefined && looksBinary(bytes)) {
    const message = bytes.includes(0)
      ? 'This is not text: it holds zero bytes (binary data, or UTF-16 without a byte-order mark).'
      : 'This is not text: it holds control bytes.';
    return { problem: problem(file, undefined, 'not-text', message, NEEDS_TEXT) };
  }
  const text = encoding === undefined ? decodeUtf8(bytes) : new TextDecoder(encoding).decode(bytes);
  return { text: text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text };
}

function utf16ByMark(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  return undefined;
}

const HEAD_BYTES = 4096;

/** A zero byte anywhere, or near the beginning more control bytes than a stray one, mean binary. */
function looksBinary(bytes: Uint8Array): boolean {
  if (bytes.includes(0)) return true;
  const length = Math.min(bytes.length, HEAD_BYTES);
  let odd = 0;
  for (let at = 0; at < length; at += 1) {
    const byte = bytes[at];
    if (byte < 9 || (byte > 13 && byte < 32 && byte !== 26 && byte !== 27)) odd += 1;
  }
  return odd * 100 > length;
}

function decodeUtf8(bytes: Uint8Array): string {
  try {
    // ignoreBOM false drops a leading mark.
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch (cause) {
    if (cause instanceof TypeError) return new TextDecoder('windows-1252').decode(bytes);
    throw cause;
  }
}
