/** What one feed event means for an open page: which answers are stale, what is new at once, what to say. */
import type { AnalysisSummary, DeadlineKind, FeedEvent, FeedPayloads, FeedType } from '../contracts.js';
import { keys, type Key } from '../api/keys.js';
import { count, listWords } from '../words/numbers.js';

export type Tone = 'plain' | 'good' | 'risk' | 'late';
export interface Saying {
  readonly tone: Tone;
  readonly title: string;
  readonly text: string;
  readonly to: string;
}
export interface Effects {
  readonly stale: readonly Key[];
  /** Stale too, but costly to ask for and likely to be stale again in a moment. */
  readonly staleSoon?: readonly Key[];
  readonly analysis?: AnalysisSummary;
  readonly saying?: Saying;
}

const aboutLoan = (loanId: string): Key[] => [
  keys.loan(loanId),
  keys.loanHistory(loanId),
  keys.loans,
  keys.dashboard,
  keys.published,
  keys.history,
  // What a loan needs is what the plan rests on.
  keys.plan,
];
const aboutUnit = (loanId: string, unitId: string): Key[] => [
  keys.unit(unitId),
  keys.sets(unitId),
  keys.evidence(unitId),
  ...aboutLoan(loanId),
];

const deadlineTone: Readonly<Record<DeadlineKind, Tone>> = {
  'at-risk': 'risk',
  late: 'late',
  'due-in-7-days': 'plain',
  'due-in-2-days': 'risk',
  'due-today': 'risk',
  overdue: 'late',
  'embargo-lifted': 'good',
};

const meaning: { readonly [T in FeedType]: (payload: FeedPayloads[T]) => Effects } = {
  'loan-changed': (p) => ({ stale: [...aboutLoan(p.loanId), keys.makers] }),
  'unit-changed': (p) => ({ stale: aboutUnit(p.loanId, p.unitId) }),
  'evidence-changed': (p) => ({ stale: [keys.evidence(p.unitId), keys.loanHistory(p.loanId), keys.history] }),
  'comments-changed': (p) => ({
    stale: [keys.draftComments(p.loanId), keys.dashboard, keys.loanHistory(p.loanId)],
  }),
  mentioned: (p) => ({
    stale: [keys.dashboard],
    saying: { tone: 'plain', title: p.title, text: p.sentence, to: `/loans/${p.loanId}/verdict` },
  }),
  'previews-changed': (p) => ({ stale: [keys.previews(p.loanId), keys.loanHistory(p.loanId)] }),
  'draft-house-changed': () => ({ stale: [['loan'], keys.draftHouse, keys.history] }),
  'maker-changed': (p) => ({ stale: [keys.makers, keys.maker(p.makerId), keys.history] }),
  'people-changed': () => ({
    stale: [keys.people, keys.invitations, keys.session, keys.history, keys.calendars, keys.plan],
  }),
  'files-kept': (p) => ({
    stale: [keys.sets(p.unitId)],
    // Files come by the dozen.
    staleSoon: [keys.unit(p.unitId), keys.loan(p.loanId), keys.history],
  }),
  'analysis-progress': (p) => ({ stale: [], analysis: p }),
  'analysis-finished': (p) => ({
    stale: aboutUnit(p.loanId, p.unitId),
    analysis: p,
    saying: finishedSaying(p),
  }),
  'data-missing': (p) => ({
    stale: aboutUnit(p.loanId, p.unitId),
    saying: {
      tone: p.faulty.length > 0 ? 'risk' : 'plain',
      title: p.faulty.length > 0 ? `${p.unitName}: measure again` : `${p.unitName}: not complete yet`,
      text: holes(p.missing, p.faulty),
      to: `/units/${p.unitId}`,
    },
  }),
  'plan-changed': (p) => ({
    stale: [keys.plan, keys.dashboard, keys.loans, keys.history, ...p.loanIds.map((id) => keys.loan(id))],
  }),
  'calendars-changed': () => ({
    stale: [keys.plan, keys.calendars, keys.dashboard, keys.loans, ['loan'], keys.history],
  }),
  'campaign-progress': (p) => ({
    // Every unit's results may be new once it is through.
    stale: p.state === 'running' ? [['campaigns']] : [['campaigns'], ['archive'], ['sets'], keys.history],
    ...(p.state === 'done' ? { saying: campaignSaying(p) } : {}),
  }),
  'publication-changed': (p) => ({ stale: [keys.publication(p.loanId), keys.loanHistory(p.loanId)] }),
  'review-published': (p) => ({
    stale: [...aboutLoan(p.loanId), keys.publication(p.loanId), ['reviews'], ['archive']],
    saying: {
      tone: 'good',
      title: p.number === 1 ? `${p.title} is out` : `${p.title}: corrected`,
      text: p.number === 1 ? 'The review is published.' : `Version ${p.number}: ${p.changeNote}`,
      to: `/reviews/${p.loanId}`,
    },
  }),
  'feedback-changed': (p) => ({ stale: [keys.feedback, ['reviews'], keys.loanHistory(p.loanId)] }),
  'history-checked': (p) => ({
    stale: [keys.history],
    ...(p.holds
      ? {}
      : {
          saying: {
            tone: 'late',
            title: 'The history was touched',
            text: 'Lines of it no longer fit together.',
            to: '/history',
          },
        }),
  }),
  // Whatever it was may stand on any page of the loan, and on those that list such things.
  'bin-changed': (p) => ({
    stale: [
      keys.bin,
      keys.makers,
      ['maker'],
      keys.calendars,
      ['archive'],
      ...(p.loanId === undefined
        ? [keys.plan, keys.history]
        : [...aboutLoan(p.loanId), keys.draftComments(p.loanId)]),
      ...(p.loanId === undefined ? [] : [['unit'], ['sets'], ['evidence']]),
    ],
  }),
  'export-changed': () => ({ stale: [keys.exports] }),
  'backups-changed': () => ({ stale: [keys.backups, keys.history] }),
  deadline: (p) => ({
    stale: aboutLoan(p.loanId),
    saying: { tone: deadlineTone[p.kind], title: p.title, text: p.sentence, to: `/loans/${p.loanId}` },
  }),
};

export function effectsOf(event: FeedEvent): Effects {
  // The map pairs each type with its own payload, which the compiler can't follow through the union.
  const read = meaning[event.type] as ((payload: FeedEvent['payload']) => Effects) | undefined;
  return read ? read(event.payload) : { stale: [] };
}

function finishedSaying(p: AnalysisSummary): Saying {
  const to = `/units/${p.unitId}`;
  if (p.state === 'refused') {
    return {
      tone: 'late',
      title: `${p.unitName}: files could not be read`,
      text: `${p.setName}: the reasons stand beside the files.`,
      to,
    };
  }
  if (p.state === 'quarantined') {
    return {
      tone: 'late',
      title: `${p.unitName}: set aside`,
      text: p.reason ?? `${p.setName} could not be computed after several tries.`,
      to,
    };
  }
  const found = [
    ...(p.blocking > 0 ? [count(p.blocking, 'blocking finding')] : []),
    ...(p.checks > 0 ? [`${p.checks} to check`] : []),
  ];
  return {
    tone: p.blocking > 0 ? 'risk' : 'good',
    title: `${p.unitName}: results are ready`,
    text: found.length > 0 ? `${p.setName}: ${listWords(found)}.` : `${p.setName}: the data is sound.`,
    to: `${to}/results`,
  };
}

function campaignSaying(p: FeedPayloads['campaign-progress']): Saying {
  const kept = p.done + p.current;
  return {
    tone: p.failed > 0 ? 'risk' : 'good',
    title: 'The archive is recomputed',
    text:
      p.failed > 0
        ? `${count(kept, 'set')} up to date; ${p.failed} kept their earlier results.`
        : `${count(kept, 'set')} up to date.`,
    to: '/history',
  };
}

function holes(missing: readonly string[], faulty: readonly string[]): string {
  const parts = [
    ...(missing.length > 0 ? [`missing: ${shortList(missing)}`] : []),
    ...(faulty.length > 0 ? [`faulty: ${shortList(faulty)}`] : []),
  ];
  const text = parts.join('; ');
  return text === '' ? 'See its plan.' : `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

function shortList(items: readonly string[]): string {
  return items.length <= 4
    ? listWords(items)
    : `${items.slice(0, 3).join(', ')} and ${items.length - 3} more`;
}

/** Many sayings at once (after a long absence) become one. */
export function gather(sayings: readonly Saying[], most = 3): readonly Saying[] {
  if (sayings.length <= most) return sayings;
  const late = sayings.filter((saying) => saying.tone === 'late').length;
  return [
    {
      tone: late > 0 ? 'late' : 'plain',
      title: `${sayings.length} things happened while you were away`,
      text: late > 0 ? `${late} of them can’t wait.` : 'They are in the history.',
      to: late > 0 ? '/' : '/history',
    },
  ];
}
