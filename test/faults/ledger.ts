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
  /** Previews of a review, messages to the owner, backups: their rows. */
  readonly bundles: string[] = [];
  readonly messages: string[] = [];
  readonly backups: string[] = [];
  /** Answers that no fault explains: a refusal of something that is allowed. */
  readonly surprises: string[] = [];
  /** Pieces of work that were set aside, and tried again at the end. */
  triedAgain = 0;
  edits = 0;
  unansweredEdits = 0;

  get size(): number {
    const work = [this.files, this.analyses, this.bundles, this.messages, this.backups];
    return this.acknowledged.size + this.edits + work.reduce((sum, { length }) => sum + length, 0);
  }
}

export const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
