/**
 * Listening sessions and what is said of remarks and findings. A session is written on its author's device under an
 * id made there and sent whenever there is a network: sending twice is sending once.
 */
import { z } from 'zod';

const text = (most: number) => z.string().trim().max(most);
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');

export const sides = ['left', 'right', 'both'] as const;
export const Remark = z
  .object({
    id: text(60).min(1, 'Every remark has an id.'),
    text: text(2000),
    sign: z.enum(['excess', 'lack', 'neutral']),
    fromHz: z.number().positive().max(40_000).optional(),
    toHz: z.number().positive().max(40_000).optional(),
    descriptor: text(60).optional(),
    severity: z.number().int().min(1).max(5),
    position: text(200).optional().describe('Seat, angle, how the cabinet was turned'),
    side: z.enum(sides).optional(),
    playing: text(200).optional().describe('What was playing'),
    at: z.iso.datetime({ offset: true }).optional().describe('When it was written down'),
  })
  .refine(({ fromHz, toHz }) => fromHz === undefined || toHz === undefined || fromHz <= toHz, {
    message: 'A remark’s range begins below where it ends.',
    path: ['fromHz'],
  });
export type Remark = z.infer<typeof Remark>;

const remarks = z
  .array(Remark)
  .max(500)
  .refine((all) => new Set(all.map(({ id }) => id)).size === all.length, 'Two remarks have the same id.');
const listeningFields = z.object({
  heardOn: z.iso.date('Give a date as YYYY-MM-DD.'),
  placement: text(2000),
  levelDb: z.number().min(30).max(120).nullable(),
  sources: text(2000).describe('What was played, and from what'),
  words: text(20_000).describe('Free words'),
  remarks,
});
export const AddListening = listeningFields.extend({
  placement: listeningFields.shape.placement.default(''),
  levelDb: listeningFields.shape.levelDb.default(null),
  sources: listeningFields.shape.sources.default(''),
  words: listeningFields.shape.words.default(''),
  remarks: listeningFields.shape.remarks.default([]),
});
export const ChangeListening = listeningFields.partial().extend({ version });
export const SealListening = z.object({ version });

/** The whole of a session as a device has it. */
export const KeepListening = listeningFields.extend({
  unitId: z.uuid(),
  version: z.number().int().min(0).describe('The version this was written on; 0 begins the session'),
  device: text(60)
    .min(1)
    .describe('Made by the device once; what the same device sends again is known by it'),
  write: z.number().int().min(1).describe('Counts this device’s writes of this session'),
  begunAt: z.iso.datetime({ offset: true }),
});
export type KeepListening = z.input<typeof KeepListening>;

export const AddAfterSeal = z.object({
  id: z.uuid().describe('Made by the device: sending twice is sending once'),
  remark: Remark,
});

export interface ListeningAdditionView {
  id: string;
  remark: Remark;
  /** Always after the seal. */
  at: string;
}

export interface ListeningView {
  id: string;
  unitId: string;
  by: string;
  byId: string;
  heardOn: string;
  placement: string;
  levelDb: number | null;
  sources: string;
  words: string;
  remarks: Remark[];
  /** As its author's device says. */
  begunAt: string;
  sealedAt: string | null;
  sealHash: string | null;
  /** While it is open: blind so far. Sealed: it was blind. */
  blind: boolean;
  /** When its author gave up listening blind to see the data. */
  givenUpAt: string | null;
  additions: ListeningAdditionView[];
  /** Others' words are kept from whoever is listening blind themselves. */
  sealedForYou: boolean;
  version: number;
}

/** What readers may check: the very text that was hashed. */
export interface SealRecordView {
  sessionId: string;
  unitId: string;
  unitName: string;
  by: string;
  begunAt: string;
  /** When the server first heard of the session. */
  firstKeptAt: string;
  sealedAt: string;
  blind: boolean;
  givenUpAt: string | null;
  /** When its author first opened the unit's data; null while they have not. */
  dataOpenedAt: string | null;
  sealHash: string;
  /** RFC 8785 canonical JSON; null for seals of an earlier version, which did not keep it. */
  sealedText: string | null;
  recomputedHash: string | null;
  /** The hash fits the text, and the text is what stands in the session. */
  holds: boolean;
  remarks: Remark[];
  additions: ListeningAdditionView[];
}

// ---- evidence ----

export const pairDecisions = ['confirmed', 'refused', 'added', 'withdrawn'] as const;
export const DecidePair = z.object({
  remarkId: text(120).min(1),
  findingKind: text(60).min(1),
  findingHz: z.number().positive().max(100_000),
  decision: z.enum(pairDecisions).describe('withdrawn: as computed again'),
  note: text(1000).default(''),
  version: z.number().int().min(0).describe('The version of the decision you saw; 0 when there was none'),
});
export type PairDecision = (typeof pairDecisions)[number];

export interface EvidenceFindingView {
  /** `KIND@HZ` */
  key: string;
  kind: string;
  fromHz: number;
  toHz: number;
  centreHz: number;
  levelDb: number | null;
  q: number | null;
  curve: string | null;
  correctable: boolean | null;
  why: string;
  /** In words: `a peak of 4 dB at 3.1 kHz`. */
  words: string;
  setName: string;
}
export interface EvidenceRemarkView {
  /** `SESSION:REMARK`, or the id of what was added after a seal. */
  id: string;
  sessionId: string;
  by: string;
  heardOn: string;
  blind: boolean;
  /** Added after the seal. */
  after: boolean;
  remark: Remark;
}
export interface EvidencePairView {
  remarkId: string;
  findingKey: string;
  /** Null for a pair the computation did not find. */
  score: number | null;
  reason: string;
  decision: 'computed' | PairDecision;
  note: string;
  by: string | null;
  at: string | null;
  version: number;
  history: { at: string; by: string; sentence: string }[];
}
export interface EvidenceView {
  unitId: string;
  findings: EvidenceFindingView[];
  remarks: EvidenceRemarkView[];
  /** Standing and refused ones; what was withdrawn is as computed. */
  pairs: EvidencePairView[];
  heardOnly: { remarkId: string; likelyCause: string; reason: string }[];
  measuredOnly: { findingKey: string; reason: string }[];
  /** Decisions on findings that the newest computation no longer has. */
  lost: { remarkId: string; findingKind: string; findingHz: number; decision: PairDecision; note: string }[];
  /** Sessions not sealed yet, whose remarks are not here. */
  openSessions: number;
}
