/** What a file really is, by its first bytes; its name and stated type count for nothing. */
import { open } from 'node:fs/promises';

export type Kind = 'image/png' | 'image/jpeg' | 'image/webp' | 'application/pdf' | 'archive' | 'other';

const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const PDF = Buffer.from('%PDF-', 'latin1');
const JPEG = Buffer.from([0xff, 0xd8, 0xff]);
/** A ZIP's first local header, or the directory end of an empty one. */
const ZIP = [Buffer.from('PK\u0003\u0004', 'latin1'), Buffer.from('PK\u0005\u0006', 'latin1')];

export async function kindOf(file: string): Promise<Kind> {
  const handle = await open(file, 'r');
  try {
    const head = Buffer.alloc(16);
    await handle.read(head, 0, 16, 0);
    const begins = (signature: Buffer) => head.subarray(0, signature.length).equals(signature);
    if (begins(PNG)) return 'image/png';
    if (begins(JPEG)) return 'image/jpeg';
    if (begins(PDF)) return 'application/pdf';
    if (head.toString('latin1', 0, 4) === 'RIFF' && head.toString('latin1', 8, 12) === 'WEBP')
      return 'image/webp';
    return ZIP.some(begins) ? 'archive' : 'other';
  } finally {
    await handle.close();
  }
}
