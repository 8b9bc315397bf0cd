/** Views without what must not be told to somebody who is listening blind. */
import type {
  AnalysisSummary,
  Condition,
  ListeningView,
  LoanSummary,
  LoanView,
  UnitView,
  VerdictView,
} from '../../../libs/contracts/index.js';
import type { Sealed } from '../../../libs/store/index.js';

export function hideInSummary<T extends LoanSummary>(loan: T, { units }: Sealed): T {
  return {
    ...loan,
    units: loan.units.map((unit) =>
      units.has(unit.id) ? { ...unit, missing: 0, blocking: 0, sealedForYou: true } : unit,
    ),
  };
}

/** What is to be measured stays; what became of it does not. */
export function hideInUnit(unit: UnitView, { units }: Sealed): UnitView {
  if (!units.has(unit.id)) return unit;
  return {
    ...unit,
    sealedForYou: true,
    plan: unit.plan.map((part) =>
      part.state === 'waived' ? part : { ...part, state: 'sealed', stillMissing: '' },
    ),
  };
}

export function hideInLoan(loan: LoanView, sealed: Sealed, readerId: string): LoanView {
  if (!sealed.loans.has(loan.id)) return loan;
  return {
    ...hideInSummary(loan, sealed),
    unitDetails: loan.unitDetails.map((unit) => hideInUnit(unit, sealed)),
    verdict: hiddenVerdict(loan.verdict),
    listening: loan.listening.map((session) => hideInListening(session, sealed, readerId)),
    moves: loan.moves.map((move) => ({ ...move, conditions: hideInConditions(move.conditions) })),
  };
}

const hiddenVerdict = ({ version, outline, ownOutline, wordsPerMinute }: VerdictView): VerdictView => ({
  text: '',
  pros: [],
  cons: [],
  points: { pros: [], cons: [], suggestions: [] },
  outline,
  ownOutline,
  wordsPerMinute,
  version,
  draftVersion: 0,
  signOffs: [],
  sealedForYou: true,
});

/** Others may have written with the data before them. */
export function hideInListening(session: ListeningView, sealed: Sealed, readerId: string): ListeningView {
  if (!sealed.units.has(session.unitId) || session.byId === readerId) return session;
  return {
    ...session,
    placement: '',
    levelDb: null,
    sources: '',
    words: '',
    remarks: [],
    additions: [],
    sealHash: null,
    sealedForYou: true,
  };
}

/** Conditions whose details say nothing of results. */
const plain: ReadonlySet<string> = new Set([
  'terms-agreed',
  'accessories-counted',
  'shortfall-reported',
  'session-sealed',
  'embargo-over',
  'maker-round-over',
  'link-given',
  'may-leave-before-publication',
  'everything-packed',
  'delivery-proven',
  'return-signed',
  'return-carrier-booked',
  'delivered-or-settled',
]);

/** Whether it is met is the loan's business; what exactly is open in the data or the verdict is not told. */
export function hideInConditions<T extends Condition>(conditions: readonly T[]): T[] {
  return conditions.map((condition) =>
    plain.has(condition.code)
      ? condition
      : { ...condition, sentence: (condition.sentence.split(/ Open: /)[0] ?? '').slice(0, 160) },
  );
}

export const withoutSealed = (running: readonly AnalysisSummary[], { units }: Sealed): AnalysisSummary[] =>
  running.filter(({ unitId }) => !units.has(unitId));

/** Lines of the history that say nothing of results; whatever else happens to a loan is told without its words. */
const plainActions =
  /^(loan-(added|changed|moved|moved-by-override)|unit-(added|changed)|accessory-.*|report-.*|photograph-.*|listening-.*|step-.*|maker-.*|booking-.*|plan-.*)$/;

export function hideInHistory<
  T extends { action: string; sentence: string; reason: string | null; loanId: string | null },
>(line: T, { loans }: Sealed): T {
  if (line.loanId === null || !loans.has(line.loanId)) return line;
  if (plainActions.test(line.action)) return { ...line, reason: null };
  return { ...line, sentence: 'did something that is sealed until you seal your session', reason: null };
}
