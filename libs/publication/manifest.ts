/** What a bundle holds and how it came about, for programs and for whoever checks the hashes. */
import { createHash } from 'node:crypto';
import type { ReviewContent, ReviewVersion } from '../contracts/index.js';
import type { BundleFile } from './zipFiles.js';

export const BUNDLE_FORMAT = 'sojourn.bundle/1';

export function manifestOf(
  content: ReviewContent,
  version: ReviewVersion | null,
  earlier: readonly ReviewVersion[],
  files: readonly BundleFile[],
): object {
  return {
    schema: BUNDLE_FORMAT,
    title: content.title,
    team: content.teamName,
    maker: content.makerName,
    state: version ? 'published' : 'preview: not published',
    version: version?.number ?? null,
    statedOn: version?.publishedAt ?? null,
    changeNote: version?.changeNote ?? '',
    earlierVersions: earlier,
    invented: content.invented,
    licence: content.licence,
    cautions: content.cautions,
    algorithmVersions: [
      ...new Set(content.units.flatMap(({ measured }) => measured.map((set) => set.algorithmVersion))),
    ],
    units: content.units.map(({ id: _id, ...unit }) => unit),
    listening: content.listening.map(({ unitName, by, heardOn, blind, sealedAt, sealHash }) => ({
      unitName,
      by,
      heardOn,
      blind,
      sealedAt,
      sealHash,
    })),
    files: [...files]
      .sort((a, b) => (a.path < b.path ? -1 : 1))
      .map(({ path, bytes, about }) => ({
        path,
        bytes: bytes.length,
        sha256: createHash('sha256').update(bytes).digest('hex'),
        about,
      })),
  };
}
