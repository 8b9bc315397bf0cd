/** What a backup says of itself: the last entry but the seal of the archive. */
import { z } from 'zod';

export const MANIFEST = 'manifest.json';
export const FORMAT_VERSION = 1;

const Sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const count = z.number().int().nonnegative();

export const Manifest = z.object({
  format: z.literal('sojourn-backup'),
  formatVersion: z.number().int(),
  /** The version that made it. */
  application: z.string(),
  madeAt: z.string(),
  teamName: z.string(),
  /** The newest line of the history and its hash: the chain must go through there for ever after. */
  history: z.object({ number: count, hash: Sha256 }).nullish(),
  migrations: z.array(z.string().regex(/^[\w-]+$/)),
  sequences: z.record(z.string(), z.string().nullable()),
  /** Rows as PostgreSQL's COPY text, in `tables/NAME.tsv`. */
  tables: z.array(
    z.object({
      name: z.string().regex(/^\w+$/),
      columns: z.array(z.string()),
      rows: count,
      bytes: count,
      sha256: Sha256,
    }),
  ),
  /** Files by the hash of their content, in `files/HASH`. */
  files: z.array(z.object({ sha256: Sha256, bytes: count })),
  /** Files the database names that were not in the store when this was made. */
  missing: z.array(Sha256),
});
export type Manifest = z.output<typeof Manifest>;

export const tableEntry = (name: string): string => `tables/${name}.tsv`;
export const fileEntry = (sha256: string): string => `files/${sha256}`;
