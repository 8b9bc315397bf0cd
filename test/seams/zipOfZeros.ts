/** A small, well-formed ZIP of one entry that expands to as many zero bytes as asked. Written as a stream. */
import { createWriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import yazl from 'yazl';

export async function writeZipOfZeros(file: string, entry: string, bytes: number): Promise<void> {
  const zip = new yazl.ZipFile();
  const block = Buffer.alloc(1 << 20);
  let left = bytes;
  const zeros = new Readable({
    read() {
      const part = block.subarray(0, Math.min(left, block.length));
      left -= part.length;
      this.push(part.length > 0 ? part : null);
    },
  });
  zip.addReadStream(zeros, entry);
  zip.end();
  await pipeline(zip.outputStream, createWriteStream(file));
}
