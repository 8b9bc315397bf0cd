/** Publishing: bundles, what readers are shown of a published review, and what readers say. */
import { z } from 'zod';
import { ArchiveQuery, type ArchiveNumber } from './archive.js';
import type { Condition } from './loans.js';
import type { UnitKind } from './names.js';

const text = (most: number) => z.string().trim().max(most);
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');

export const AskPreview = z.object({ version });
export const AskPublication = z.object({
  version,
  title: text(160).min(1, 'Give the review its title.'),
  changeNote: text(2000).default('').describe('What a correction changes; readers see it'),
  when: z.enum(['now', 'at-embargo-end']).default('now'),
  overrideReason: text(1000)
    .min(10, 'Say why in a sentence.')
    .optional()
    .describe('Only the owner: why it goes out against open conditions or before the embargo ends'),
});
export const CancelPublication = z.object({ version });

export const ChangePublicationHouse = z
  .object({
    licenceName: text(80).min(1, 'Name the licence.'),
    licenceUrl: z.union([z.url({ protocol: /^https?$/ }), z.literal('')]),
    licenceWords: text(1000).min(1, 'Say what readers may do with the data.'),
    showPreference: z
      .boolean()
      .describe('Predicted preference on public pages; its method has been patented'),
    showListening: z.boolean().describe('The record of sealed listening sessions in bundles'),
    feedbackOpen: z.boolean().describe('Readers may answer questions about a review'),
  })
  .partial()
  .extend({ version });
export interface PublicationHouseView {
  licenceName: string;
  licenceUrl: string;
  licenceWords: string;
  showPreference: boolean;
  showListening: boolean;
  feedbackOpen: boolean;
  version: number;
}

export type PublicationState =
  'scheduled' | 'building' | 'ready' | 'published' | 'superseded' | 'refused' | 'cancelled';
export interface PublicationView {
  id: string;
  loanId: string;
  purpose: 'preview' | 'release';
  state: PublicationState;
  /** The version readers see; null until it is out. */
  number: number | null;
  title: string;
  changeNote: string;
  askedBy: string;
  askedAt: string;
  publishAfter: string | null;
  overrideReason: string | null;
  progress: number;
  /** Why it was refused or could not be built. */
  reason: string | null;
  bundleBytes: number | null;
  bundleUrl: string | null;
  publishedAt: string | null;
  /** Where readers find it. */
  address: string | null;
  /** When its bundle was written to the team's folder, or why it could not be. */
  placedAt: string | null;
  placeFault: string | null;
  version: number;
}
/** All about publishing one loan's review. */
export interface LoanPublicationView {
  loanId: string;
  loanVersion: number;
  suggestedTitle: string;
  embargoUntil: string | null;
  conditions: Condition[];
  mayOverride: boolean;
  /** A version is out: what follows is a correction and says what it changes. */
  correction: boolean;
  /** Bundles are also written to a folder of the server. */
  hasFolder: boolean;
  publications: PublicationView[];
}

// ---- what readers are shown ----

export interface ReviewPoint {
  text: string;
  /** Words beside it: what it rests on; empty where there is none. */
  evidence: string;
}
/** The review's words, whatever they were written with. */
export interface ReviewText {
  markdown: string;
  pros: ReviewPoint[];
  cons: ReviewPoint[];
  suggestions: ReviewPoint[];
  /** The version that was signed off. */
  version: number;
}
export interface ListeningRecord {
  unitName: string;
  by: string;
  heardOn: string;
  placement: string;
  levelDb: number | null;
  blind: boolean;
  sealedAt: string;
  sealHash: string;
  /** Exactly what the hash was taken over, so that readers can take it again. */
  sealedText: string | null;
  /** Written after the seal, and said to be. */
  additions: { at: string; text: string }[];
  remarks: {
    text: string;
    sign: string;
    fromHz?: number;
    toHz?: number;
    severity: number;
    position?: string;
  }[];
}
export type PublicNumbers = Record<ArchiveNumber, number | null>;
export interface MeasuredUnder {
  setName: string;
  measuredOn: string;
  /** `distanceM: 2` and the like, in words. */
  conditions: string[];
  algorithmVersion: string;
  files: number;
  /** Hash of files, settings and algorithm: equal inputs have equal ones. */
  inputs: string;
  invented: boolean;
  /** What the data checks found that a careful reader should know. */
  checks: string[];
}
export interface PublicUnitContent {
  /** Of the unit as published, unique among all versions. */
  id: string;
  name: string;
  makerName: string;
  kind: UnitKind;
  drivers: string;
  finish: string;
  massKg: number | null;
  priceMinor: number | null;
  currency: string;
  invented: boolean;
  algorithmVersion: string;
  numbers: PublicNumbers;
  measured: MeasuredUnder[];
}
/** A published review as it stood: nothing in it changes afterwards. */
export interface ReviewContent {
  title: string;
  teamName: string;
  makerName: string;
  invented: boolean;
  text: ReviewText;
  units: PublicUnitContent[];
  listening: ListeningRecord[];
  cautions: string[];
  licence: { name: string; url: string; words: string };
}

export interface ReviewUnitLink {
  id: string;
  name: string;
  makerName: string;
  kind: UnitKind;
}
export interface ReviewSummary {
  loanId: string;
  title: string;
  makerName: string;
  number: number;
  publishedAt: string;
  firstPublishedAt: string;
  invented: boolean;
  units: ReviewUnitLink[];
}
export interface ReviewFigure {
  name: string;
  title: string;
  svgUrl: string;
  pngUrl: string;
  csvUrl: string;
  descriptionUrl: string;
}
export interface ReviewVersion {
  number: number;
  publishedAt: string;
  changeNote: string;
}
export interface ReviewView extends ReviewContent {
  loanId: string;
  publicationId: string;
  number: number;
  publishedAt: string;
  changeNote: string;
  /** Newest first. A version that is not the first of them is superseded. */
  versions: ReviewVersion[];
  /** The words as HTML, made from Markdown by the server; nothing in it runs. */
  html: string;
  figures: { unitId: string; figures: ReviewFigure[] }[];
  bundleUrl: string;
  bundleBytes: number;
  feedbackOpen: boolean;
  /** What the team chose to show of readers' words. */
  shownFeedback: { at: string; clarity: number; words: string }[];
}

export const ReviewQuery = z.strictObject({
  version: z
    .string()
    .regex(/^[1-9]\d{0,5}$/)
    .transform(Number)
    .optional()
    .describe('An earlier version; the current one otherwise'),
});
export const ReviewUnitsQuery = z.strictObject(
  Object.fromEntries(
    Object.entries(ArchiveQuery.shape).filter(([name]) => name !== 'makerId'),
  ) as unknown as Omit<typeof ArchiveQuery.shape, 'makerId'>,
);
export type ReviewUnitsQuery = z.input<typeof ReviewUnitsQuery>;

export interface ReviewUnitView extends ReviewUnitLink {
  loanId: string;
  reviewTitle: string;
  drivers: string;
  finish: string;
  priceMinor: number | null;
  currency: string;
  invented: boolean;
  numbers: PublicNumbers;
  hasCurves: boolean;
  publishedAt: string;
}
export interface ReviewUnitsPage {
  rows: ReviewUnitView[];
  total: number;
  page: number;
  pageSize: number;
}

// ---- what readers say ----

export const feedbackLengths = ['too-short', 'right', 'too-long'] as const;
export const feedbackLengthWords: Readonly<Record<(typeof feedbackLengths)[number], string>> = {
  'too-short': 'Too short',
  right: 'About right',
  'too-long': 'Too long',
};
export const feedbackMissing = [
  'listening',
  'measurements',
  'explanations',
  'comparisons',
  'practical-advice',
  'pictures',
] as const;
export const feedbackMissingWords: Readonly<Record<(typeof feedbackMissing)[number], string>> = {
  listening: 'How it sounds',
  measurements: 'Measurements',
  explanations: 'What the figures mean',
  comparisons: 'Comparisons with other units',
  'practical-advice': 'Advice on placement, amplifier, equaliser',
  pictures: 'Pictures',
};
export const GiveFeedback = z.object({
  clarity: z.number().int().min(1).max(5).describe('1: not clear at all; 5: clear throughout'),
  length: z.enum(feedbackLengths),
  missing: z.array(z.enum(feedbackMissing)).max(feedbackMissing.length).default([]),
  words: text(2000).default(''),
});
export const JudgeFeedback = z.object({ version, show: z.boolean() });

export interface FeedbackView {
  id: string;
  loanId: string;
  reviewTitle: string;
  reviewVersion: number;
  clarity: number;
  length: (typeof feedbackLengths)[number];
  missing: (typeof feedbackMissing)[number][];
  words: string;
  at: string;
  state: 'waiting' | 'shown' | 'hidden';
  judgedBy: string | null;
  version: number;
}
export interface FeedbackSummary {
  loanId: string;
  title: string;
  answers: number;
  waiting: number;
  meanClarity: number | null;
  /** How many gave 1, 2, 3, 4, 5. */
  clarity: number[];
  length: Record<(typeof feedbackLengths)[number], number>;
  missing: Record<(typeof feedbackMissing)[number], number>;
}
export interface FeedbackOverview {
  summaries: FeedbackSummary[];
  /** Newest first. */
  entries: FeedbackView[];
}

// ---- what the bundle's page carries ----

export interface ComparedCurves {
  label: string;
  frequencyHz: number[];
  curves: Partial<Record<string, number[]>>;
  sensitivity: { db: number; bandHz: [number, number] } | null;
  own: boolean;
}
/** What the page inside a bundle reads from itself. Figures are `FigureDescription`s. */
export interface BundlePageData {
  figures: { id: string; description: unknown }[];
  compared: ComparedCurves[];
  invented: boolean;
  provenance: string;
}
