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

export async function keepFigures(blobs: BlobStore, drawn: readonly DrawnFigure[]): Promise<KeptFigure[]> {
  const keep = async (bytes: Uint8Array | string) =>
    (await blobs.keep(typeof bytes === 'string' ? Buffer.from(bytes) : bytes)).sha256;
  const figures: KeptFigure[] = [];
  for (const { name, title, svg, csv, png, description } of drawn) {
    figures.push({
      name,
      title,
      svg: await keep(svg),
      csv: await keep(csv),
      png: await keep(png),
      json: await keep(description),
    });
  }
  return figures;
}

export function provenanceOf(computation: {
  readonly id: string;
  readonly inputs: readonly unknown[];
  readonly algorithmVersion: string;
}): string {
  const { length } = computation.inputs;
  return `${length} file${length === 1 ? '' : 's'}, inputs ${computation.id.slice(0, 12)}, algorithm ${computation.algorithmVersion}`;
}
