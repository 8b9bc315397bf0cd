/** The files an analysis begins with and those it ends with, in and out of the store. */
import type { BlobStore } from '../../../libs/blobs/blobStore.js';
import type { ComputationInput } from '../../../libs/store/index.js';
import type { DrawnFigure } from '../threads/computeThread.js';

export const loadEntries = (blobs: BlobStore, inputs: readonly ComputationInput[]) =>
  Promise.all(inputs.map(async ({ file, sha256 }) => ({ name: file, bytes: await blobs.read(sha256) })));

/** A figure's files, by the hash of their content. */
export interface KeptFigure {
  readonly name: string;
  readonly title: string;
  readonly svg: string;
  readonly csv: string;
  readonly png: string;
  readonly json: string;
}

/** All at once: each waits for the disk, and the disk takes many as fast as one. */
export function keepFigures(blobs: BlobStore, drawn: readonly DrawnFigure[]): Promise<KeptFigure[]> {
  const keep = async (bytes: Uint8Array | string) =>
    (await blobs.keep(typeof bytes === 'string' ? Buffer.from(bytes) : bytes)).sha256;
  return Promise.all(
    drawn.map(async ({ name, title, svg: drawing, csv: table, png: picture, description }) => {
      const [svg, csv, png, json] = await Promise.all([drawing, table, picture, description].map(keep));
      return { name, title, svg, csv, png, json };
    }),
  );
}

export function provenanceOf(computation: {
  readonly id: string;
  readonly inputs: readonly unknown[];
  readonly algorithmVersion: string;
}): string {
  const { length } = computation.inputs;
  return `${length} file${length === 1 ? '' : 's'}, inputs ${computation.id.slice(0, 12)}, algorithm ${computation.algorithmVersion}`;
}
