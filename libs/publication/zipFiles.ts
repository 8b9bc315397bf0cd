/** Files as one ZIP: the same files give the same bytes, whenever and wherever it is made. */
import yazl from 'yazl';

export interface BundleFile {
  /** With forward slashes, relative, plain ASCII. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** What it holds, in a few words. */
  readonly about: string;
}

const REGULAR_FILE = 0o100644;
/** The earliest a ZIP can say, by its parts of local time: no time zone changes it. */
const NO_TIME = new Date(1980, 0, 1);
/** What is compressed already is only stored. */
const COMPRESSED = /\.(png|zip)$/;

export async function zipFiles(files: readonly BundleFile[]): Promise<Buffer> {
  const zip = new yazl.ZipFile();
  for (const { path, bytes } of [...files].sort((a, b) => (a.path < b.path ? -1 : 1))) {
    zip.addBuffer(Buffer.from(bytes), path, {
      mtime: NO_TIME,
      mode: REGULAR_FILE,
      forceDosTimestamp: true,
      compress: !COMPRESSED.test(path),
    });
  }
  zip.end();
  const chunks: Buffer[] = [];
  for await (const chunk of zip.outputStream) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}
