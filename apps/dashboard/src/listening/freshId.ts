/** Ids made on the device (RFC 9562, version 4); needs no secure context, which a listening room's plain network is not. */
export function freshId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return [8, 4, 4, 4, 12]
    .map((length, index, all) => hex.slice(sum(all, index), sum(all, index) + length))
    .join('-');
}

const sum = (lengths: readonly number[], upTo: number): number =>
  lengths.slice(0, upTo).reduce((total, length) => total + length, 0);
