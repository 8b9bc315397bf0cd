/** What was deleted: kept for a month, put back by one press. */
import { z } from 'zod';

/** Days something stays in the bin. */
export const BIN_DAYS = 30;

export const binKinds = [
  'loan',
  'unit',
  'set',
  'file',
  'maker',
  'contact',
  'accessory',
  'report',
  'photograph',
  'proof',
  'listening',
  'comment',
  'step',
  'absence',
  'busy-calendar',
  'template',
] as const;
export type BinKind = (typeof binKinds)[number];

/** With its article, as sentences say it. */
export const binKindWords: Readonly<Record<BinKind, string>> = {
  loan: 'the loan',
  unit: 'the unit',
  set: 'the measurement set',
  file: 'the file',
  maker: 'the maker',
  contact: 'the contact',
  accessory: 'the accessory',
  report: 'the condition report',
  photograph: 'the photograph',
  proof: 'the proof of delivery',
  listening: 'the listening session',
  comment: 'the comment',
  step: 'the mark on the step',
  absence: 'the absence',
  'busy-calendar': 'the calendar of busy times',
  template: 'the team’s own work on a',
};

/** The answer to a deletion: by this it can be taken back. */
export interface Binned {
  binId: string;
  kind: BinKind;
  title: string;
  /** When it is gone for good. */
  expiresAt: string;
}

export interface BinEntryView extends Binned {
  /** The loan or unit it belonged to; empty where it stood alone. */
  within: string;
  deletedBy: string;
  deletedAt: string;
}

export interface BinView {
  entries: BinEntryView[];
  /** The owner may delete for good before the days are over. */
  mayPurge: boolean;
}

/** Who puts something back finds it where it was. */
export interface PutBack {
  kind: BinKind;
  title: string;
  /** What could not come back as it was, in a sentence; empty when all did. */
  note: string;
}

export const PURGE_WORDS = 'delete for good';
export const PurgeBinEntry = z.object({
  confirm: z
    .literal(PURGE_WORDS, `Type “${PURGE_WORDS}”.`)
    .describe('Typed by the owner: it cannot be undone'),
});

export const SeenVersion = z.coerce
  .number({ error: 'Say which version you saw: ?version=NUMBER.' })
  .int()
  .min(1)
  .describe('The version you saw; deleting an older one is refused');
