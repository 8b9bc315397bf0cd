/** Measurement sets, their files and their analyses. */
import { z } from 'zod';
import type { AnalysisSummary } from './loans.js';
import type { Severity } from './names.js';

export const AddSet = z.object({ name: z.string().trim().min(1, 'Name the set.').max(160) });
export const ChangeSet = z.object({
  version: z.number().int(),
  name: z.string().trim().min(1).max(160).optional(),
  setAsideWhy: z
    .string()
    .trim()
    .min(5, 'Say why in a few words, such as: measured again with the grille off.')
    .max(500)
    .nullable()
    .optional()
    .describe('A set that was measured again is set aside: kept, but no longer counted'),
});

export const RequestAnalysis = z.object({
  settings: z
    .object({
      earlyReflections: z.enum(['five-group-mean', 'all-curves-mean']),
      rearWall: z.enum(['nineteen', 'three']),
      maximumFilters: z.number().int().min(0).max(20),
      maximumBoostDb: z.number().min(0).max(12),
      equaliserSampleRateHz: z.number().min(8000).max(384_000),
    })
    .partial()
    .default({}),
});

export interface SetFileView {
  id: string;
  name: string;
  sha256: string;
  bytes: number;
  uploadedAt: string;
}

/** What a file was refused for: shown beside it. */
export interface ProblemView {
  file: string;
  line?: number;
  code: string;
  message: string;
  remedy: string;
}

export interface QualityView {
  severity: Severity;
  code: string;
  message: string;
  file?: string;
}

export interface AnalysisView extends AnalysisSummary {
  algorithmVersion: string;
  settings: Record<string, unknown>;
  inputs: { file: string; sha256: string }[];
  problems: ProblemView[];
  quality: QualityView[];
  computeMs: number | null;
  /** Several sets with equal inputs share one computation. */
  computationId: string;
  figures: {
    name: string;
    title: string;
    svgUrl: string;
    pngUrl: string;
    csvUrl: string;
    descriptionUrl: string;
  }[];
  /** The numbers at a glance; the whole object is at `resultUrl`. */
  summary: Record<string, number | string | null> | null;
  resultUrl: string | null;
  current: boolean;
}

export interface SetView {
  id: string;
  unitId: string;
  name: string;
  setAsideWhy: string | null;
  invented: boolean;
  version: number;
  createdAt: string;
  files: SetFileView[];
  analyses: AnalysisView[];
}

/** What the server answers when one upload has been kept. */
export interface KeptFile {
  kept: SetFileView[];
  /** Entries of an archive that were not taken, and why. */
  problems: ProblemView[];
}

/** How much may be uploaded, and how much is stored. In bytes. */
export interface UploadQuotaView {
  setBytes: number;
  personDailyBytes: number;
  installationBytes: number;
  version: number;
  storedBytes: number;
}

const Quota = z.number().int().min(1_000_000, 'Leave room for a file: at least 1 MB.').max(1e15).optional();
export const ChangeUploadQuota = z.strictObject({
  version: z.number().int(),
  setBytes: Quota,
  personDailyBytes: Quota,
  installationBytes: Quota,
});
export type ChangeUploadQuota = z.input<typeof ChangeUploadQuota>;
