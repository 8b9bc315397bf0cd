/**
 * What the server tells open dashboards. Every event has a number; numbers rise without gaps within the
 * whole installation in the order of their commits, so a client that knows its last number can catch up.
 */
import type { CampaignView } from './campaigns.js';
import type { AnalysisSummary, Urgency } from './loans.js';
import type { DraftKept, DraftNews, DraftOpened, DraftPresence } from './drafts.js';
import type { Stage } from './names.js';

export interface FeedPayloads {
  'loan-changed': { loanId: string; title: string; stage: Stage; by: string; sentence: string };
  'unit-changed': { loanId: string; unitId: string; name: string; by: string; sentence: string };
  /** Somebody decided on a pair of remark and finding. */
  'evidence-changed': { loanId: string; unitId: string; by: string };
  /** Comments on the draft, or wordings put forward. */
  'comments-changed': { loanId: string; title: string; by: string; byId: string; sentence: string };
  /** To the person named in a comment alone. */
  mentioned: { loanId: string; title: string; by: string; sentence: string };
  /** Private previews, or what their visitors said. */
  'previews-changed': { loanId: string; title: string; by: string; sentence: string };
  'draft-house-changed': { by: string; sentence: string };
  'maker-changed': { makerId: string; name: string; by: string; sentence: string };
  'people-changed': { accountId: string; by: string; sentence: string };
  'files-kept': { loanId: string; unitId: string; setId: string; names: string[]; by: string };
  'analysis-progress': AnalysisSummary;
  'analysis-finished': AnalysisSummary;
  'data-missing': { loanId: string; unitId: string; unitName: string; missing: string[]; faulty: string[] };
  /** The plan in force changed: bookings, who and where. */
  'plan-changed': { version: number; loanIds: string[]; by: string; sentence: string };
  /** Hours, absences, places or templates changed: what is asked of the plan may have changed with them. */
  'calendars-changed': { by: string; sentence: string };
  /** About once per percent; results recomputed by a campaign have no `analysis-finished` of their own. */
  'campaign-progress': CampaignView;
  /** A bundle is being built, waits, was built, or was refused. */
  'publication-changed': { loanId: string; title: string; sentence: string };
  /** A review, or a correction of one, is out: to everyone who is signed in. */
  'review-published': { loanId: string; title: string; number: number; changeNote: string };
  /** A reader answered, or a member judged an answer. */
  'feedback-changed': { loanId: string; title: string; sentence: string };
  /** A backup was begun, made, removed, or the plan of them changed. */
  'backups-changed': { by: string; sentence: string };
  /** All lines of the history were gone through. */
  'history-checked': { by: string; holds: boolean };
  /** Something was deleted, put back, or is gone for good. */
  'bin-changed': { by: string; sentence: string; loanId?: string; unitId?: string };
  /** To whoever asked for it: an export is ready, or could not be made. */
  'export-changed': { id: string };
  deadline: { loanId: string; title: string; urgency: Urgency; kind: DeadlineKind; sentence: string };
}
export type DeadlineKind =
  'at-risk' | 'late' | 'due-in-7-days' | 'due-in-2-days' | 'due-today' | 'overdue' | 'embargo-lifted';
export type FeedType = keyof FeedPayloads;

export type FeedEvent = {
  [T in FeedType]: { number: number; at: string; room: string; type: T; payload: FeedPayloads[T] };
}[FeedType];

/** Rooms: `team` (members), `person:ID` (that person alone), `published` (everyone signed in). */
export type Room = 'team' | 'published' | `person:${string}`;

/** Client to server, and back. */
export interface SocketRequests {
  /** Ask for a room's events after a number; answers with the last number known. */
  follow: (ask: { room: Room; after: number }, answer: (reply: FollowReply) => void) => void;
  /** Open the text of a loan's review: answers with what the page does not have; news of it follow. */
  'draft-open': (ask: { loanId: string; vector: Uint8Array }, answer: (reply: DraftOpened) => void) => void;
  /** Answered once it is committed. */
  'draft-add': (ask: { loanId: string; update: Uint8Array }, answer: (reply: DraftKept) => void) => void;
  'draft-presence': (ask: { loanId: string; selection: DraftPresence['selection'] }) => void;
  'draft-leave': (ask: { loanId: string }) => void;
}
export type FollowReply =
  | { ok: true; events: FeedEvent[]; upTo: number; more: boolean }
  | { ok: false; code: string; message: string };
export interface SocketMessages {
  event: (event: FeedEvent) => void;
  'draft-news': (news: DraftNews) => void;
  /** News were missed: open the text again. */
  'draft-again': (about: { loanId: string }) => void;
  'draft-presence': (presence: DraftPresence) => void;
  /** The text is no longer open to this person. */
  'draft-closed': (about: { loanId: string; code: string; message: string }) => void;
  /** The session ended elsewhere; the page should return to sign-in. */
  'signed-out': () => void;
}
