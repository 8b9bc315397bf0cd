/** From loans to a list of what is asked of people next, the most pressing first. */
import type { LoanSummary, Need, Urgency } from '../../../libs/contracts/index.js';
import { inTheHouse } from '../../../libs/loan-life/index.js';
import { dayWords } from '../../../libs/plan-keeping/index.js';

export interface WaitingFacts {
  readonly uncounted: number;
  readonly arrivalSigned: boolean;
  readonly verdictBegun: boolean;
  readonly signedOff: boolean;
  readonly unheardUnits: readonly string[];
  /** What was read on arrival is not what was noted. */
  readonly otherSerials: readonly string[];
}

const groups: readonly Need['group'][] = [
  'due',
  'at-risk',
  'plan',
  'measurements',
  'listening',
  'sign-off',
  'paperwork',
];
const order: Readonly<Record<Urgency, number>> = {
  late: 0,
  'at-risk': 1,
  'on-track': 2,
  undated: 3,
  settled: 4,
};

export function needsOf(
  loans: readonly LoanSummary[],
  waiting: ReadonlyMap<string, WaitingFacts>,
  today: string,
  others: readonly Need[] = [],
): Need[] {
  const ofLoans = loans.flatMap((loan) => {
    const facts = waiting.get(loan.id);
    return facts ? needsOfLoan(loan, facts, today) : [];
  });
  return [...ofLoans, ...others].sort(
    (a, b) =>
      order[a.urgency] - order[b.urgency] ||
      groups.indexOf(a.group) - groups.indexOf(b.group) ||
      (a.by ?? '9').localeCompare(b.by ?? '9') ||
      (a.id < b.id ? -1 : 1),
  );
}

function needsOfLoan(loan: LoanSummary, facts: WaitingFacts, today: string): Need[] {
  const need = (
    group: Need['group'],
    key: string,
    title: string,
    sentence: string,
    more: Partial<Need> = {},
  ): Need => ({
    id: `${loan.id}-${key}`,
    group,
    urgency: loan.plan.urgency,
    loanId: loan.id,
    unitId: null,
    title,
    sentence,
    by: latestStartOf(loan, key) ?? loan.returnBy,
    waitsFor: 'the team',
    ...more,
  });
  return [
    ...deadlineNeeds(loan, need, today),
    ...paperNeeds(loan, facts, need, today),
    ...serialNeeds(loan, facts, need),
    ...measurementNeeds(loan, need),
    ...listeningNeeds(loan, facts, need),
    ...signOffNeeds(loan, facts, need),
  ];
}

type MakeNeed = (
  group: Need['group'],
  key: string,
  title: string,
  sentence: string,
  more?: Partial<Need>,
) => Need;

/** The step of the plan a need belongs to says by when it must begin. */
const stepOfKey: Readonly<Record<string, string>> = {
  unpack: 'unpack',
  measure: 'orbits',
  listen: 'listening',
  draft: 'drafting',
  pack: 'pack',
};

function latestStartOf(loan: LoanSummary, key: string): string | null {
  const code = stepOfKey[key.split('-')[0] ?? ''];
  const steps = loan.plan.steps.filter(
    (step) => step.code === code && !step.done && step.latestStart !== null,
  );
  return steps.map((step) => (step.latestStart ?? '').slice(0, 10)).sort()[0] ?? null;
}

function deadlineNeeds(loan: LoanSummary, need: MakeNeed, today: string): Need[] {
  if (loan.returnBy === null || loan.deliveredOn !== null) return [];
  const extension = loan.plan.askExtensionTo
    ? ` Ask ${loan.makerName} for an extension to ${dayWords(loan.plan.askExtensionTo, today)}.`
    : '';
  const more = { by: loan.returnBy, waitsFor: extension ? 'a word with the maker' : 'the team' };
  if (loan.returnBy < today)
    return [
      need(
        'due',
        'overdue',
        loan.title,
        `It was due back on ${dayWords(loan.returnBy, today)}.${extension}`,
        {
          ...more,
          urgency: 'late',
        },
      ),
    ];
  if (loan.plan.urgency === 'late')
    return [need('due', 'late', loan.title, `${loan.plan.sentence}${extension}`, more)];
  if (loan.plan.urgency === 'at-risk')
    return [need('at-risk', 'risk', loan.title, `${loan.plan.sentence}${extension}`, more)];
  return [];
}

function paperNeeds(loan: LoanSummary, facts: WaitingFacts, need: MakeNeed, today: string): Need[] {
  const say = (day: string) => dayWords(day.slice(0, 10), today);
  switch (loan.stage) {
    case 'requested':
      return [
        need('paperwork', 'terms', loan.title, 'The terms are not agreed yet.', { waitsFor: loan.makerName }),
      ];
    case 'agreed': {
      const when = loan.arrivalFrom
        ? `The crate is expected from ${say(loan.arrivalFrom)}${loan.arrivalTo ? ` to ${say(loan.arrivalTo)}` : ''}.`
        : 'The arrival window is open.';
      const must = loan.plan.mustArriveBy ? ` It must arrive by ${say(loan.plan.mustArriveBy)}.` : '';
      return [
        need('paperwork', 'arrival', loan.title, when + must, {
          by: loan.arrivalTo,
          waitsFor: 'the carrier',
        }),
      ];
    }
    case 'arrived': {
      const counted =
        facts.uncounted > 0
          ? ` ${facts.uncounted} accessor${facts.uncounted === 1 ? 'y is' : 'ies are'} not counted.`
          : '';
      const signed = facts.arrivalSigned ? '' : ' The condition report is not signed.';
      return counted + signed === ''
        ? []
        : [need('paperwork', 'unpack', loan.title, `Unpack and inspect.${counted}${signed}`)];
    }
    case 'returning':
      return loan.deliveredOn === null
        ? [need('paperwork', 'pack', loan.title, 'Pack, send and follow the crate home.')]
        : [];
    case 'published':
      return [need('paperwork', 'pack', loan.title, 'The review is out: send the unit home.')];
    default:
      return [];
  }
}

function serialNeeds(loan: LoanSummary, facts: WaitingFacts, need: MakeNeed): Need[] {
  if (facts.otherSerials.length === 0) return [];
  const sentence = `The serial number read on arrival is not the one noted: ${facts.otherSerials.join(', ')}. Settle with the maker which unit this is.`;
  return [need('paperwork', 'serial', loan.title, sentence, { waitsFor: 'a word with the maker' })];
}

function measurementNeeds(loan: LoanSummary, need: MakeNeed): Need[] {
  if (!inTheHouse(loan.stage)) return [];
  return loan.units.flatMap((unit) => {
    if (unit.missing === 0 && unit.blocking === 0) return [];
    const missing =
      unit.missing > 0 ? `${unit.missing} data set${unit.missing === 1 ? '' : 's'} to measure. ` : '';
    const blocking =
      unit.blocking > 0
        ? `${unit.blocking} blocking finding${unit.blocking === 1 ? '' : 's'} on the data: measure again.`
        : '';
    return [
      need('measurements', `measure-${unit.id}`, unit.name, (missing + blocking).trim(), {
        unitId: unit.id,
        waitsFor: 'the rig',
      }),
    ];
  });
}

function listeningNeeds(loan: LoanSummary, facts: WaitingFacts, need: MakeNeed): Need[] {
  if (!['measuring', 'listening', 'drafting', 'returning'].includes(loan.stage)) return [];
  return loan.units
    .filter((unit) => facts.unheardUnits.includes(unit.id))
    .map((unit) =>
      need('listening', `listen-${unit.id}`, unit.name, 'No sealed listening session yet.', {
        unitId: unit.id,
        waitsFor: 'the listening room',
      }),
    );
}

function signOffNeeds(loan: LoanSummary, facts: WaitingFacts, need: MakeNeed): Need[] {
  if (loan.stage !== 'drafting' || facts.signedOff) return [];
  return facts.verdictBegun
    ? [
        need('sign-off', 'sign', loan.title, 'The verdict waits for its sign-off.', {
          waitsFor: 'the co-host or the editor',
        }),
      ]
    : [need('sign-off', 'draft', loan.title, 'The verdict is not begun.', { waitsFor: 'the host' })];
}
