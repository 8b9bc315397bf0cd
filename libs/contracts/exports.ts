/** Taking one's data home: one ZIP in open formats, made in the background. */
import { z } from 'zod';

/** Days a finished export can be downloaded. */
export const EXPORT_DAYS = 7;

export const exportScopes = ['own', 'team'] as const;
export const ExportScope = z
  .enum(exportScopes)
  .describe('own: what one did and brought; team: everything, for the owner');
export type ExportScope = z.infer<typeof ExportScope>;

export const AskExport = z.object({ scope: ExportScope });

export interface ExportView {
  id: string;
  scope: ExportScope;
  state: 'running' | 'done' | 'failed';
  /** 0 to 1. */
  progress: number;
  bytes: number | null;
  /** Why it failed. */
  reason: string | null;
  askedAt: string;
  /** When it is cleared. */
  expiresAt: string | null;
}
