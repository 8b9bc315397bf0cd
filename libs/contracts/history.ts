/** The history: what is asked of it, and whether its chain of hashes holds. */
import { z } from 'zod';

const Day = z.iso.date('Give a day such as 2026-03-31.');

/** What lines are wanted; without anything, the newest. */
export const HistoryQuery = z.strictObject({
  /** The number of the last line that is known: what comes before it. */
  before: z.coerce.number().int().positive().optional(),
  /** Who did it: an account. */
  by: z.uuid().optional(),
  /** Words in the sentence or the reason. */
  text: z.string().trim().max(100).optional(),
  /** Days on the clock of the house; both count. */
  from: Day.optional(),
  to: Day.optional(),
});
export type HistoryQuery = z.input<typeof HistoryQuery>;

export type HistoryBreak =
  'changed' | 'removed' | 'out-of-order' | 'added' | 'cut-off' | 'rewritten' | 'erased-unsaid';

export interface HistoryChainView {
  /** The newest line: written down elsewhere, they show later whether anything up to it was touched. */
  number: number;
  hash: string;
  /** The last time all lines were gone through. */
  checked: {
    at: string;
    by: string;
    /** How far the chain went. */
    number: number;
    broken: { number: number; how: HistoryBreak } | null;
  } | null;
}

/** A number and hash written down earlier, to be compared with what is there now. */
export const CheckHistory = z.strictObject({
  written: z
    .strictObject({
      number: z.number().int().positive('The number of a line is 1 or more.'),
      hash: z
        .string()
        .trim()
        .toLowerCase()
        .regex(/^[0-9a-f]{64}$/, 'A hash has 64 characters, 0 to 9 and a to f.'),
    })
    .optional(),
});
export type CheckHistory = z.input<typeof CheckHistory>;
