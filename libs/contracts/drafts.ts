/** Writing a review together: its points with evidence, its outline, comments, and private previews. */
import { z } from 'zod';

const text = (most: number) => z.string().trim().max(most);
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');

// ---- points and their evidence ----

/** What a pro, a con or a suggestion rests on. It keeps its own sentence, so that computing anew does not empty it. */
export const EvidenceRef = z.object({
  kind: z.enum(['finding', 'figure', 'remark']),
  unitId: z.uuid(),
  sentence: text(600).min(1, 'Say in a sentence what it shows.'),
  analysisId: z.uuid().optional(),
  finding: text(60).optional().describe('Kind of the finding'),
  frequencyHz: z.number().positive().max(200_000).optional(),
  figure: text(160).optional().describe('Name of the figure within its analysis'),
  sessionId: z.uuid().optional(),
  remarkId: text(60).optional(),
});
export type EvidenceRef = z.output<typeof EvidenceRef>;

export const Point = z.object({
  text: text(1000).min(1, 'Say it in a few words, or remove it.'),
  evidence: text(2000)
    .default('')
    .describe('In words, beside what is attached; or a word that there is none'),
  refs: z.array(EvidenceRef).max(20, 'At most 20 pieces of evidence to a point.').default([]),
});
export type Point = z.output<typeof Point>;

export const suggestionSubjects = [
  'placement',
  'turning-out',
  'equaliser',
  'subwoofer',
  'amplifier',
] as const;
export type SuggestionSubject = (typeof suggestionSubjects)[number];
export const suggestionWords: Readonly<Record<SuggestionSubject, string>> = {
  placement: 'Placement',
  'turning-out': 'Turning in or out',
  equaliser: 'Equaliser',
  subwoofer: 'Subwoofer',
  amplifier: 'Amplifier',
};
export const Suggestion = Point.extend({ about: z.enum(suggestionSubjects) });
export type Suggestion = z.output<typeof Suggestion>;

/** What of a unit may be attached as evidence, as it stands now. */
export interface EvidenceChoices {
  units: {
    unitId: string;
    unitName: string;
    findings: EvidenceRef[];
    figures: (EvidenceRef & { title: string; svgUrl: string })[];
    remarks: (EvidenceRef & { by: string })[];
  }[];
}

// ---- the outline ----

/** `text` is the stretch of the draft under the heading of that name; the others are made from what the team keeps. */
export const outlineParts = [
  'text',
  'pros',
  'cons',
  'suggestions',
  'figures',
  'findings',
  'numbers',
] as const;
export type OutlinePart = (typeof outlineParts)[number];
export const OutlineItem = z.object({
  id: text(40).min(1),
  part: z.enum(outlineParts),
  title: text(120).min(1, 'Name the part.'),
});
export type OutlineItem = z.output<typeof OutlineItem>;
export const Outline = z
  .array(OutlineItem)
  .max(40)
  .refine((items) => new Set(items.map(({ id }) => id)).size === items.length, 'Two parts have one id.')
  .refine((items) => {
    const made = items.filter(({ part }) => part !== 'text').map(({ part }) => part);
    return new Set(made).size === made.length;
  }, 'Each part that is made by itself stands once.');

/** The usual order, while the team has set none. */
export const usualOutline: readonly OutlineItem[] = [
  { id: 'short', part: 'text', title: 'In short' },
  { id: 'object', part: 'text', title: 'What it is' },
  { id: 'room', part: 'text', title: 'In the room' },
  { id: 'figures', part: 'figures', title: 'Measured' },
  { id: 'findings', part: 'findings', title: 'What stands out' },
  { id: 'numbers', part: 'numbers', title: 'Numbers' },
  { id: 'pros', part: 'pros', title: 'For it' },
  { id: 'cons', part: 'cons', title: 'Against it' },
  { id: 'suggestions', part: 'suggestions', title: 'Suggestions' },
  { id: 'verdict', part: 'text', title: 'Verdict' },
];

export const ChangeDraftHouse = z.object({
  version: z.number().int().min(0).describe('0 while the team has set nothing'),
  outline: Outline.nullable().optional().describe('null: back to the usual order'),
  wordsPerMinute: z.number().int().min(60, 'At least 60.').max(300, 'At most 300.').optional(),
});
export interface DraftHouseView {
  outline: OutlineItem[];
  usual: boolean;
  wordsPerMinute: number;
  version: number;
}

// ---- the shared text ----

/** How long a text may grow. */
export const DRAFT_MOST_CHARACTERS = 200_000;
/** One message on the socket; a longer absence is sent in one piece too. */
export const DRAFT_MOST_BYTES = 900_000;

/** The name of the text within the document. */
export const DRAFT_TEXT = 'text';

export type DraftRefused = {
  ok: false;
  /** `again`: ask for the whole anew; `too-long`: the text has no room for it; the others are final. */
  code: 'invalid' | 'forbidden' | 'not-found' | 'blind' | 'again' | 'too-long' | 'fault';
  message: string;
};
export type DraftOpened =
  { ok: true; update: Uint8Array; vector: Uint8Array; number: number; draftVersion: number } | DraftRefused;
/** Given only after the commit. */
export type DraftKept = { ok: true; number: number; draftVersion: number } | DraftRefused;

export interface DraftNews {
  loanId: string;
  number: number;
  update: Uint8Array;
  draftVersion: number;
}
/** Where somebody's cursor stands, as positions that move with the text; `null` when they left. */
export interface DraftPresence {
  loanId: string;
  /** One open page of a person. */
  seat: string;
  personId: string;
  name: string;
  selection: { anchor: unknown; head: unknown } | null;
  left: boolean;
}

// ---- comments ----

const position = z.record(z.string(), z.unknown());
export const CommentFigure = z.object({
  analysisId: z.uuid(),
  name: text(160).min(1),
  title: text(300).min(1),
});
export type CommentFigure = z.output<typeof CommentFigure>;
export const AddDraftComment = z
  .object({
    body: text(4000).default(''),
    anchor: z.object({ start: position, end: position }).optional(),
    quote: z.string().max(4000).default(''),
    figure: CommentFigure.optional(),
    replacement: z.string().max(8000).optional().describe('Put forward in place of the quoted words'),
    replyTo: z.uuid().optional(),
    mentions: z.array(z.uuid()).max(20).default([]),
  })
  .refine((ask) => ask.body !== '' || ask.replacement !== undefined, {
    path: ['body'],
    message: 'Write a word.',
  })
  .refine((ask) => ask.replacement === undefined || (ask.anchor !== undefined && ask.quote !== ''), {
    path: ['replacement'],
    message: 'Mark the words it should replace.',
  });
export const ChangeDraftComment = z.object({
  version,
  body: text(4000).min(1, 'Write a word.').optional(),
  state: z.enum(['open', 'resolved']).optional(),
});
export const DecideSuggestion = z.object({ version, accept: z.boolean() });

export type CommentState = 'open' | 'resolved' | 'accepted' | 'refused';
export interface DraftCommentView {
  id: string;
  by: string;
  byId: string;
  body: string;
  quote: string;
  anchor: { start: Record<string, unknown>; end: Record<string, unknown> } | null;
  figure: CommentFigure | null;
  replacement: string | null;
  replyTo: string | null;
  state: CommentState;
  decidedBy: string | null;
  decidedAt: string | null;
  mentions: string[];
  at: string;
  version: number;
}
export interface DraftCommentsView {
  comments: DraftCommentView[];
  /** Who may be mentioned. */
  people: { id: string; name: string }[];
}

// ---- previews ----

export const previewParts = ['text', 'pros-cons', 'suggestions', 'figures', 'findings', 'numbers'] as const;
export type PreviewPart = (typeof previewParts)[number];
export const previewPartWords: Readonly<Record<PreviewPart, string>> = {
  text: 'Text',
  'pros-cons': 'Pros and cons',
  suggestions: 'Suggestions',
  figures: 'Figures',
  findings: 'Findings and evidence',
  numbers: 'Numbers at a glance',
};

export const AddPreview = z.object({
  kind: z.enum(['private', 'maker']).default('private'),
  name: text(120).default('').describe('Who it is for'),
  hidden: z.array(z.enum(previewParts)).max(previewParts.length).default([]),
  daysValid: z.number().int().min(1, 'At least a day.').max(90, 'At most 90 days.').default(7),
});
export const ChangePreview = z.object({
  version,
  name: text(120).optional(),
  hidden: z.array(z.enum(previewParts)).max(previewParts.length).optional(),
  revoked: z.literal(true).optional().describe('For good'),
  closed: z.literal(true).optional().describe('The maker’s comment round is over'),
});
export const AnswerPreviewComment = z.object({ version, answer: text(4000).min(1, 'Write an answer.') });

export interface PreviewCommentView {
  id: string;
  name: string;
  part: string;
  body: string;
  at: string;
  answer: string;
  answeredBy: string | null;
  answeredAt: string | null;
  version: number;
}
export interface PreviewLinkView {
  id: string;
  kind: 'private' | 'maker';
  name: string;
  hidden: PreviewPart[];
  state: 'open' | 'expired' | 'revoked' | 'closed';
  createdBy: string;
  createdAt: string;
  expiresAt: string;
  views: number;
  lastViewedAt: string | null;
  votes: { publish: number; dont: number; names: { name: string; publish: boolean; at: string }[] };
  comments: PreviewCommentView[];
  version: number;
  /** Shown once, when it is made. The secret is behind the `#`, which no browser sends to a server. */
  link?: string;
}
export interface PreviewsView {
  /** The terms of the loan let the maker comment. */
  makerMayComment: boolean;
  makerRound: 'not-agreed' | 'not-begun' | 'open' | 'over';
  links: PreviewLinkView[];
}

/** A visitor of a preview carries the secret in the body, never in an address, and a random mark of their own. */
const token = z.string().min(20).max(100);
const visitor = z.string().min(16).max(100);
export const LookAtPreview = z.object({
  token,
  visitor,
  again: z
    .boolean()
    .default(false)
    .describe('The page looks whether it is still open: not counted as a view'),
});
export const VoteOnPreview = z.object({ token, visitor, publish: z.boolean(), name: text(80).default('') });
export const CommentOnPreview = z.object({
  token,
  visitor,
  name: text(80).default(''),
  part: text(120).default(''),
  body: text(2000).min(1, 'Write a word.'),
});

/** A part of the review as a visitor sees it; `html` is made from Markdown, without scripts, pictures or embedded HTML. */
export type PreviewSection =
  | { part: 'text'; title: string; html: string }
  | { part: 'pros' | 'cons' | 'suggestions'; title: string; points: PreviewPoint[] }
  | { part: 'figures'; title: string; figures: { title: string; unitName: string; svg: string }[] }
  | { part: 'findings'; title: string; findings: { unitName: string; sentence: string }[] }
  | { part: 'numbers'; title: string; numbers: { unitName: string; label: string; value: string }[] };
export interface PreviewPoint {
  /** What a suggestion is about. */
  about?: string;
  text: string;
  evidence: string[];
}
export interface PreviewView {
  teamName: string;
  title: string;
  makerName: string;
  units: string[];
  invented: boolean;
  kind: 'private' | 'maker';
  name: string;
  expiresAt: string;
  /** The maker’s round is over: one reads, and writes no more. */
  closed: boolean;
  sections: PreviewSection[];
  /** The visitor's own word so far. */
  vote: boolean | null;
  comments: { body: string; part: string; at: string; answer: string; answeredBy: string | null }[];
}
/** What an open page asks for every few seconds. */
export interface PreviewStill {
  closed: boolean;
  /** Changes when the team changed something a visitor sees. */
  mark: string;
}
