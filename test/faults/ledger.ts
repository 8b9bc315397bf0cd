/** What a client of the campaign was told, and what it does not know because nobody answered. */
import { createHash } from 'node:crypto';

export interface KeptFile {
  readonly fileId: string;
  readonly sha256: string;
}

export class Ledger {
  /** Names of makers by what is known of them. */
  readonly acknowledged = new Map<string, string>();
  readonly unanswered = new Set<string>();
  readonly files: KeptFile[] = [];
  readonly analyses: string[] = [];
  /** Answers that no fault explains: a refusal of something that is allowed. */
  readonly surprises: string[] = [];
  edits = 0;
  unansweredEdits = 0;
}

export const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
