/** A file of a measurement set, in memory. */
export interface DataFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

const encoder = new TextEncoder();
const decoder = new TextDecoder('utf-8', { ignoreBOM: true });

export function textFile(name: string, text: string): DataFile {
  return { name, bytes: encoder.encode(text) };
}

export function textOf(file: DataFile): string {
  return decoder.decode(file.bytes);
}
