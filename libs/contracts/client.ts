/**
 * A small typed client: one function per route. The dashboard and the command line use it; so may anybody.
 *
 * Every refusal is thrown as `Refused` with the server's code, words and, on an older version, both versions.
 */
import type { z } from 'zod';
import * as archive from './archive.js';
import type * as backups from './backups.js';
import type * as operations from './operations.js';
import type * as bin from './bin.js';
import type { CampaignDetail, CampaignsView } from './campaigns.js';
import type * as drafts from './drafts.js';
import type * as exported from './exports.js';
import type { FeedEvent, Room } from './feed.js';
import type { FigureDescription } from '../figures/description.js';
import type * as heard from './listening.js';
import type * as history from './history.js';
import type * as loans from './loans.js';
import type * as sets from './measurements.js';
import type * as notices from './notices.js';
import type * as publication from './publication.js';
import type * as returning from './returning.js';
import type * as people from './people.js';
import type * as tokens from './tokens.js';
import type * as plan from './planning.js';
import type { Refusal } from './problems.js';

export class Refused extends Error {
  readonly status: number;
  readonly refusal: Refusal;
  /** The server’s wish, when it was asked too often. */
  readonly retryAfterSeconds: number | undefined;
  constructor(status: number, refusal: Refusal, retryAfterSeconds?: number) {
    super(refusal.message);
    this.retryAfterSeconds = retryAfterSeconds;
    this.name = 'Refused';
    this.status = status;
    this.refusal = refusal;
  }
}

type Sent<T extends z.ZodType> = z.input<T>;
export type Send = (method: string, path: string, body?: unknown) => Promise<unknown>;

/**
 * @param fetcher the platform's `fetch`, or one that carries a cookie jar
 * @param baseUrl such as `http://127.0.0.1:4700`; empty in a page of the server itself
 */
export function sender(fetcher: typeof fetch, baseUrl = ''): Send {
  return async (method, path, body) => {
    const answer = await fetcher(`${baseUrl}/api${path}`, {
      method,
      credentials: 'same-origin',
      ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' } }),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const value = valueOf(answer.status, await answer.text());
    if (answer.ok) return value;
    const after = Number(answer.headers.get('retry-after'));
    throw new Refused(answer.status, value as Refusal, after > 0 ? after : undefined);
  };
}

/** @throws Refused when something else than this server answered, such as a proxy with a page of its own */
function valueOf(status: number, text: string): unknown {
  try {
    return text === '' ? undefined : JSON.parse(text);
  } catch {
    const message = `The answer (${status}) is not this server’s.`;
    throw new Refused(status, { code: 'not-understood', message, remedy: 'Check the address.' });
  }
}

/** A request that gets no answer in this time counts as one that failed. */
const PROGRAM_PATIENCE_MS = 30_000;

/**
 * The client of a program: an access token instead of a session.
 *
 * @param serverUrl such as `https://sojourn.example.org`
 * @param token made on one’s own page; its scopes say what may be called, anything else is refused with 403
 */
export function clientWithToken(serverUrl: string, token: string, fetcher: typeof fetch = fetch): Client {
  const withToken = (input: string | URL | Request, init: RequestInit = {}) => {
    const headers = new Headers(init.headers);
    headers.set('authorization', `Bearer ${token}`);
    return fetcher(input, { ...init, headers, signal: AbortSignal.timeout(PROGRAM_PATIENCE_MS) });
  };
  return createClient(sender(withToken, serverUrl.replace(/\/+$/, '')));
}

export function createClient(send: Send) {
  const get = <T>(path: string) => send('GET', path) as Promise<T>;
  const post = <T>(path: string, body: unknown = {}) => send('POST', path, body) as Promise<T>;
  const patch = <T>(path: string, body: unknown) => send('PATCH', path, body) as Promise<T>;
  const remove = <T>(path: string) => send('DELETE', path) as Promise<T>;
  return {
    session: () => get<people.SessionState>('/session'),
    setUp: (ask: people.SetUpInstallation) => post<people.SessionState>('/setup', ask),
    signIn: (ask: people.SignIn) => post<people.SessionState>('/session', ask),
    signOut: () => remove<void>('/session'),
    changePassword: (ask: Sent<typeof people.ChangePassword>) => post<void>('/session/password', ask),

    /** One’s own access tokens; these three take somebody who signed in. */
    tokens: () => get<tokens.TokenView[]>('/tokens'),
    /** The token itself is in this answer and in no other. */
    addToken: (ask: tokens.AddToken) => post<tokens.TokenView>('/tokens', ask),
    revokeToken: (id: string) => remove<void>(`/tokens/${id}`),

    sessions: () => get<people.OwnSession[]>('/sessions'),
    endSession: (id: string) => remove<void>(`/sessions/${id}`),

    uploadQuota: () => get<sets.UploadQuotaView>('/upload-quota'),
    changeUploadQuota: (ask: sets.ChangeUploadQuota) => patch<sets.UploadQuotaView>('/upload-quota', ask),

    people: () => get<people.Person[]>('/people'),
    endSessionsOf: (id: string) => remove<void>(`/people/${id}/sessions`),
    changePerson: (id: string, ask: people.ChangePerson) => patch<people.Person>(`/people/${id}`, ask),
    removalOf: (id: string) => get<people.RemovalView>(`/people/${id}/removal`),
    removeAccount: (id: string, ask: people.RemoveAccount) => post<void>(`/people/${id}/removal`, ask),
    exports: () => get<exported.ExportView[]>('/exports'),
    askExport: (scope: exported.ExportScope) => post<exported.ExportView[]>('/exports', { scope }),
    invitations: () => get<people.Invitation[]>('/invitations'),
    invite: (ask: people.InvitePerson) => post<people.Invitation>('/invitations', ask),
    revokeInvitation: (id: string) => remove<void>(`/invitations/${id}`),
    /** Public: what an invitation link offers. The token travels in the body, never in a path that is logged. */
    lookAtInvitation: (token: string) =>
      post<{ role: people.Person['role']; teamName: string; expiresAt: string }>('/invitations/look', {
        token,
      }),
    acceptInvitation: (ask: people.AcceptInvitation) => post<people.SessionState>('/invitations/accept', ask),

    dashboard: () => get<loans.DashboardView>('/dashboard'),
    history: (ask: history.HistoryQuery = {}) =>
      get<loans.HistoryView[]>(`/history?${archive.asAddress(ask)}`),
    historyChain: () => get<history.HistoryChainView>('/history/chain'),
    checkHistory: (ask: history.CheckHistory = {}) => post<history.HistoryChainView>('/history/check', ask),
    events: (room: Room, after: number) =>
      get<{ events: FeedEvent[]; upTo: number; more: boolean }>(
        `/feed?room=${encodeURIComponent(room)}&after=${after}`,
      ),

    makers: () => get<loans.MakerView[]>('/makers'),
    maker: (id: string) => get<loans.MakerView>(`/makers/${id}`),
    addMaker: (ask: Sent<typeof loans.AddMaker>) => post<loans.MakerView>('/makers', ask),
    changeMaker: (id: string, ask: Sent<typeof loans.ChangeMaker>) =>
      patch<loans.MakerView>(`/makers/${id}`, ask),

    loans: (query: loans.LoansQuery = {}) => get<loans.LoanSummary[]>(`/loans?${archive.asAddress(query)}`),
    loan: (id: string) => get<loans.LoanView>(`/loans/${id}`),
    addLoan: (ask: Sent<typeof loans.AddLoan>) => post<loans.LoanView>('/loans', ask),
    changeLoan: (id: string, ask: Sent<typeof loans.ChangeLoan>) =>
      patch<loans.LoanView>(`/loans/${id}`, ask),
    moveLoan: (id: string, ask: Sent<typeof loans.MoveLoan>) =>
      post<loans.LoanView>(`/loans/${id}/move`, ask),
    loanHistory: (id: string) => get<loans.HistoryView[]>(`/loans/${id}/history`),

    addUnit: (loanId: string, ask: Sent<typeof loans.AddUnit>) =>
      post<loans.UnitView>(`/loans/${loanId}/units`, ask),
    unit: (id: string) => get<loans.UnitView>(`/units/${id}`),
    changeUnit: (id: string, ask: Sent<typeof loans.ChangeUnit>) =>
      patch<loans.UnitView>(`/units/${id}`, ask),
    waiveDataSet: (unitId: string, code: string, ask: Sent<typeof loans.WaiveDataSet>) =>
      patch<loans.UnitView>(`/units/${unitId}/plan/${code}`, ask),

    addAccessory: (loanId: string, ask: Sent<typeof loans.AddAccessory>) =>
      post<loans.AccessoryView>(`/loans/${loanId}/accessories`, ask),
    changeAccessory: (id: string, ask: Sent<typeof loans.ChangeAccessory>) =>
      patch<loans.AccessoryView>(`/accessories/${id}`, ask),
    removeAccessory: (id: string, ask: Sent<typeof returning.RemoveAccessory>) =>
      post<bin.Binned>(`/accessories/${id}/remove`, ask),
    changePhotograph: (id: string, ask: Sent<typeof returning.ChangePhotograph>) =>
      patch<loans.ReportView>(`/photographs/${id}`, ask),
    removeProof: (id: string) => remove<bin.Binned>(`/proofs/${id}`),
    addReport: (loanId: string, ask: Sent<typeof loans.AddReport>) =>
      post<loans.ReportView>(`/loans/${loanId}/reports`, ask),
    changeReport: (id: string, ask: Sent<typeof loans.ChangeReport>) =>
      patch<loans.ReportView>(`/reports/${id}`, ask),
    signReport: (id: string, ask: Sent<typeof loans.SignReport>) =>
      post<loans.ReportView>(`/reports/${id}/sign`, ask),

    addListening: (unitId: string, ask: Sent<typeof heard.AddListening>) =>
      post<heard.ListeningView>(`/units/${unitId}/listening`, ask),
    changeListening: (id: string, ask: Sent<typeof heard.ChangeListening>) =>
      patch<heard.ListeningView>(`/listening/${id}`, ask),
    /** The whole session as a device has it, under the id the device gave it. */
    keepListening: (id: string, ask: heard.KeepListening) =>
      send('PUT', `/listening/${id}`, ask) as Promise<heard.ListeningView>,
    sealListening: (id: string, ask: Sent<typeof heard.SealListening>) =>
      post<heard.ListeningView>(`/listening/${id}/seal`, ask),
    giveUpBlindness: (id: string) => post<heard.ListeningView>(`/listening/${id}/give-up`),
    addAfterSeal: (id: string, ask: Sent<typeof heard.AddAfterSeal>) =>
      post<heard.ListeningView>(`/listening/${id}/additions`, ask),
    sealRecord: (id: string) => get<heard.SealRecordView>(`/listening/${id}/record`),
    /** Anybody may ask, once the review is out. */
    publishedSeals: (loanId: string) => get<heard.SealRecordView[]>(`/published/${loanId}/listening`),
    evidence: (unitId: string) => get<heard.EvidenceView>(`/units/${unitId}/evidence`),
    decidePair: (unitId: string, ask: Sent<typeof heard.DecidePair>) =>
      send('PUT', `/units/${unitId}/evidence/pairs`, ask) as Promise<heard.EvidenceView>,

    changeVerdict: (loanId: string, ask: Sent<typeof loans.ChangeVerdict>) =>
      patch<loans.VerdictView>(`/loans/${loanId}/verdict`, ask),
    signOff: (loanId: string, ask: Sent<typeof loans.AddSignOff>) =>
      post<loans.VerdictView>(`/loans/${loanId}/sign-offs`, ask),

    draftHouse: () => get<drafts.DraftHouseView>('/draft-house'),
    changeDraftHouse: (ask: Sent<typeof drafts.ChangeDraftHouse>) =>
      patch<drafts.DraftHouseView>('/draft-house', ask),
    evidenceChoices: (loanId: string) => get<drafts.EvidenceChoices>(`/loans/${loanId}/draft/evidence`),
    draftComments: (loanId: string) => get<drafts.DraftCommentsView>(`/loans/${loanId}/draft/comments`),
    addDraftComment: (loanId: string, ask: Sent<typeof drafts.AddDraftComment>) =>
      post<drafts.DraftCommentsView>(`/loans/${loanId}/draft/comments`, ask),
    changeDraftComment: (loanId: string, id: string, ask: Sent<typeof drafts.ChangeDraftComment>) =>
      patch<drafts.DraftCommentsView>(`/loans/${loanId}/draft/comments/${id}`, ask),
    decideSuggestion: (loanId: string, id: string, ask: Sent<typeof drafts.DecideSuggestion>) =>
      post<drafts.DraftCommentsView>(`/loans/${loanId}/draft/comments/${id}/decision`, ask),
    previews: (loanId: string) => get<drafts.PreviewsView>(`/loans/${loanId}/previews`),
    addPreview: (loanId: string, ask: Sent<typeof drafts.AddPreview>) =>
      post<drafts.PreviewLinkView>(`/loans/${loanId}/previews`, ask),
    changePreview: (loanId: string, id: string, ask: Sent<typeof drafts.ChangePreview>) =>
      patch<drafts.PreviewLinkView>(`/loans/${loanId}/previews/${id}`, ask),
    answerPreviewComment: (loanId: string, id: string, ask: Sent<typeof drafts.AnswerPreviewComment>) =>
      post<drafts.PreviewsView>(`/loans/${loanId}/previews/comments/${id}/answer`, ask),
    /** Public, with the secret of a preview's address in the body, never in a path that is logged. */
    lookAtPreview: (ask: Sent<typeof drafts.LookAtPreview>) =>
      post<drafts.PreviewView>('/previews/look', ask),
    previewStill: (ask: Sent<typeof drafts.LookAtPreview>) =>
      post<drafts.PreviewStill>('/previews/still', ask),
    voteOnPreview: (ask: Sent<typeof drafts.VoteOnPreview>) =>
      post<drafts.PreviewView>('/previews/vote', ask),
    commentOnPreview: (ask: Sent<typeof drafts.CommentOnPreview>) =>
      post<drafts.PreviewView>('/previews/comment', ask),

    sets: (unitId: string) => get<sets.SetView[]>(`/units/${unitId}/sets`),
    set: (id: string) => get<sets.SetView>(`/sets/${id}`),
    addSet: (unitId: string, ask: Sent<typeof sets.AddSet>) =>
      post<sets.SetView>(`/units/${unitId}/sets`, ask),
    changeSet: (id: string, ask: Sent<typeof sets.ChangeSet>) => patch<sets.SetView>(`/sets/${id}`, ask),
    /** All files are up: read, analyse, draw. Also the way to ask again with other settings. */
    requestAnalysis: (setId: string, ask: Sent<typeof sets.RequestAnalysis> = {}) =>
      post<sets.AnalysisView>(`/sets/${setId}/analyses`, ask),
    retryAnalysis: (id: string) => post<sets.AnalysisView>(`/analyses/${id}/retry`),
    analysis: (id: string) => get<sets.AnalysisView>(`/analyses/${id}`),
    removeFile: (id: string) => remove<bin.Binned>(`/files/${id}`),

    archive: (query: archive.ArchiveQuery = {}) =>
      get<archive.ArchivePage>(`/archive?${archive.asAddress(query)}`),
    comparables: (unitId: string, query: archive.ComparablesQuery = {}) =>
      get<archive.ComparablesView>(`/archive/units/${unitId}/comparables?${archive.asAddress(query)}`),
    /** Two to eight units on one figure. */
    comparison: (query: archive.ComparisonQuery) =>
      get<FigureDescription>(`/archive/comparison?${archive.asAddress(query)}`),

    campaigns: () => get<CampaignsView>('/campaigns'),
    campaign: (id: string) => get<CampaignDetail>(`/campaigns/${id}`),
    /** Recomputes every set whose current result another version gave. */
    startCampaign: () => post<CampaignDetail>('/campaigns'),
    cancelCampaign: (id: string) => post<CampaignDetail>(`/campaigns/${id}/cancel`),

    publication: (loanId: string) => get<publication.LoanPublicationView>(`/loans/${loanId}/publication`),
    /** A bundle for the team to look at, marked unpublished. */
    previewBundle: (loanId: string, ask: Sent<typeof publication.AskPreview>) =>
      post<publication.LoanPublicationView>(`/loans/${loanId}/publication/previews`, ask),
    publish: (loanId: string, ask: Sent<typeof publication.AskPublication>) =>
      post<publication.LoanPublicationView>(`/loans/${loanId}/publication/releases`, ask),
    cancelPublication: (id: string, ask: Sent<typeof publication.CancelPublication>) =>
      post<publication.LoanPublicationView>(`/publications/${id}/cancel`, ask),
    publicationHouse: () => get<publication.PublicationHouseView>('/publication/house'),
    changePublicationHouse: (ask: Sent<typeof publication.ChangePublicationHouse>) =>
      patch<publication.PublicationHouseView>('/publication/house', ask),
    feedback: () => get<publication.FeedbackOverview>('/feedback'),
    judgeFeedback: (id: string, ask: Sent<typeof publication.JudgeFeedback>) =>
      patch<publication.FeedbackView>(`/feedback/${id}`, ask),

    /** Public: reviews that are out, as they were published. */
    reviews: (query: loans.PublishedQuery = {}) =>
      get<publication.ReviewSummary[]>(`/reviews?${archive.asAddress(query)}`),
    review: (loanId: string, version?: number) =>
      get<publication.ReviewView>(`/reviews/${loanId}${version === undefined ? '' : `?version=${version}`}`),
    reviewUnits: (query: publication.ReviewUnitsQuery = {}) =>
      get<publication.ReviewUnitsPage>(`/reviews/units?${archive.asAddress(query)}`),
    compareReviews: (query: archive.ComparisonQuery) =>
      get<FigureDescription>(`/reviews/comparison?${archive.asAddress(query)}`),
    giveFeedback: (loanId: string, ask: Sent<typeof publication.GiveFeedback>) =>
      post<{ kept: true }>(`/reviews/${loanId}/feedback`, ask),
    backups: () => get<backups.BackupsView>('/backups'),
    makeBackup: () => post<backups.BackupsView>('/backups'),
    changeBackupPlan: (ask: Sent<typeof backups.ChangeBackupPlan>) =>
      patch<backups.BackupsView>('/backups/plan', ask),
    removeBackup: (name: string) => remove<void>(`/backups/files/${encodeURIComponent(name)}`),

    operations: () => get<operations.OperationsView>('/operations'),
    retryFailure: (ask: Sent<typeof operations.RetryFailure>) =>
      post<operations.OperationsView>('/operations/retry', ask),
    waiting: (analysisId: string) => get<operations.WaitingView>(`/analyses/${analysisId}/waiting`),

    /** Each names the version that was seen, and answers with what takes it back. */
    deleteMaker: (id: string, version: number) => remove<bin.Binned>(`/makers/${id}?version=${version}`),
    deleteLoan: (id: string, version: number) => remove<bin.Binned>(`/loans/${id}?version=${version}`),
    deleteUnit: (id: string, version: number) => remove<bin.Binned>(`/units/${id}?version=${version}`),
    deleteSet: (id: string, version: number) => remove<bin.Binned>(`/sets/${id}?version=${version}`),
    deleteReport: (id: string, version: number) => remove<bin.Binned>(`/reports/${id}?version=${version}`),
    deletePhotograph: (id: string, version: number) =>
      remove<bin.Binned>(`/photographs/${id}?version=${version}`),
    deleteListening: (id: string, version: number) =>
      remove<bin.Binned>(`/listening/${id}?version=${version}`),
    deleteDraftComment: (loanId: string, id: string, version: number) =>
      remove<bin.Binned>(`/loans/${loanId}/draft/comments/${id}?version=${version}`),
    bin: () => get<bin.BinView>('/bin'),
    putBack: (binId: string) => post<bin.PutBack>(`/bin/${binId}/restore`),
    deleteForGood: (binId: string, confirm: string) => post<void>(`/bin/${binId}/purge`, { confirm }),

    published: (query: loans.PublishedQuery = {}) =>
      get<loans.LoanSummary[]>(`/published?${archive.asAddress(query)}`),

    plan: () => get<plan.PlanView>('/plan'),
    proposePlan: (ask: Sent<typeof plan.ProposePlan> = {}) => post<plan.ProposalView>('/plan/proposals', ask),
    proposal: (id: string) => get<plan.ProposalView>(`/plan/proposals/${id}`),
    acceptPlan: (id: string, ask: Sent<typeof plan.AcceptPlan>) =>
      post<plan.PlanView>(`/plan/proposals/${id}/accept`, ask),
    /** @param from @param to days of the house (YYYY-MM-DD), the last one included */
    bookings: (from: string, to: string) => get<plan.BookingsView>(`/plan/bookings?from=${from}&to=${to}`),
    booking: (id: string) => get<plan.BookingView>(`/bookings/${id}`),
    changeBooking: (id: string, ask: Sent<typeof plan.ChangeBooking>) =>
      patch<plan.BookingView>(`/bookings/${id}`, ask),
    workload: (from: string, weeks: number) =>
      get<plan.WorkloadView>(`/plan/workload?from=${from}&weeks=${weeks}`),
    whatIf: (ask: Sent<typeof plan.WhatIf>) => post<plan.WhatIfView>('/plan/what-if', ask),
    loanSteps: (loanId: string) => get<plan.StepView[]>(`/loans/${loanId}/steps`),
    markStep: (loanId: string, stepId: string, ask: Sent<typeof plan.MarkStep>) =>
      patch<plan.StepView>(`/loans/${loanId}/steps/${encodeURIComponent(stepId)}`, ask),

    house: () => get<plan.HouseView>('/plan/house'),
    changeHouse: (ask: Sent<typeof plan.ChangeHouse>) => patch<plan.HouseView>('/plan/house', ask),
    addPlace: (ask: Sent<typeof plan.AddPlace>) => post<plan.PlaceView>('/plan/places', ask),
    changePlace: (id: string, ask: Sent<typeof plan.ChangePlace>) =>
      patch<plan.PlaceView>(`/plan/places/${encodeURIComponent(id)}`, ask),
    changePersonHours: (personId: string, ask: Sent<typeof plan.ChangePersonHours>) =>
      patch<plan.PersonHoursView>(`/plan/people/${personId}`, ask),
    addAbsence: (ask: Sent<typeof plan.AddAbsence>) => post<plan.AbsenceView>('/plan/absences', ask),
    removeAbsence: (id: string) => remove<bin.Binned>(`/plan/absences/${id}`),
    importBusy: (ask: Sent<typeof plan.ImportBusy>) => post<plan.BusyImportView>('/plan/busy', ask),
    removeBusy: (id: string) => remove<bin.Binned>(`/plan/busy/${id}`),
    templates: () => get<plan.TemplateView[]>('/plan/templates'),
    changeTemplate: (kind: string, ask: Sent<typeof plan.ChangeTemplate>) =>
      patch<plan.TemplateView>(`/plan/templates/${kind}`, ask),
    /** Back to the defaults. */
    resetTemplate: (kind: string) => remove<bin.Binned | undefined>(`/plan/templates/${kind}`),
    estimates: () => get<plan.EstimateView[]>('/plan/estimates'),

    notifications: () => get<notices.NotificationsView>('/notifications'),
    changeNotifications: (ask: Sent<typeof notices.ChangeNotifications>) =>
      patch<notices.NotificationsView>('/notifications', ask),
    /** Sends oneself a message by every way that is set up. */
    testNotifications: () => post<notices.NotificationsView>('/notifications/test'),
    /** Another key for the same webhook address, in this answer and in no other. */
    renewWebhookKey: (ask: Sent<typeof notices.RenewWebhookSecret>) =>
      post<notices.NotificationsView>('/notifications/webhook-key', ask),
    deliveries: (before?: string) =>
      get<notices.DeliveryLogView>(`/notifications/deliveries${before ? `?before=${before}` : ''}`),
    sendAgain: (id: string) => post<notices.DeliveryLogView>(`/notifications/deliveries/${id}/again`),
    calendarFeed: () => get<plan.CalendarFeedView>('/calendar-feed'),
    /** A new private address; one made before stops working. */
    makeCalendarFeed: () => post<plan.CalendarFeedView>('/calendar-feed'),
    revokeCalendarFeed: () => remove<void>('/calendar-feed'),
  };
}
export type Client = ReturnType<typeof createClient>;

/*
 * Besides these, served as bytes:
 *   /api/uploads                          resumable uploads (tus 1.0.0); metadata: `setId`, `reportId` or `proofOf`, and `filename`
 *   PUT /api/sets/:id/files?name=NAME     one file (or ZIP) in one request body (application/octet-stream)
 *   GET /api/files/:id                    the bytes as they came
 *   GET /api/photographs/:id, /api/proofs/:id
 *   GET /api/publications/:id/bundle      a bundle as ZIP, for members
 *   GET /api/reviews/:id/versions/N/bundle                   the same for everybody, once it is out
 *   GET /api/reviews/:id/versions/N/units/:id/figures/NAME.{svg,png,csv,json}
 *   GET /api/reviews/comparison/figure.{svg,png,csv}?units=ID,ID&curve=&alignment=
 *   GET /api/exports/:id/file             a finished export (ZIP), for whoever asked for it
 *   GET /api/backups/files/NAME           one backup (ZIP), for the owner
 *   GET /api/calendar/TOKEN.ics           a person's plan as iCalendar, for calendar programs
 *   GET /api/analyses/:id/result          the analysis object (JSON)
 *   GET /api/analyses/:id/figures/NAME.{svg,png,csv,json}    json: the figure's description
 *   GET /api/loans/:id/draft/review.{html,zip}    the review as one page, or as Markdown with its figures
 *   GET /api/archive/comparison/figure.{svg,png,csv}?units=ID,ID&curve=&alignment=    as `comparison`, drawn or as a table
 */
