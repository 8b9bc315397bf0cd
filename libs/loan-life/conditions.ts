/** The sentences that must be true before a loan may move, each tested against the facts. */
import type { Condition } from '../contracts/index.js';
import type { LoanFacts, UnitFacts } from './facts.js';

export type ConditionTest = (facts: LoanFacts) => Condition;

const condition = (code: string, sentence: string, met: boolean): Condition => ({ code, sentence, met });
const listed = (names: readonly string[]): string => names.join(', ');

export const unitsListed: ConditionTest = ({ units }) =>
  condition('units-listed', 'The loan names at least one unit.', units.length > 0);

export const loanLengthAgreed: ConditionTest = ({ returnBy, loanDays }) =>
  condition(
    'loan-length-agreed',
    'A return-by date or a loan length is agreed.',
    returnBy !== null || loanDays !== null,
  );

export const freightAgreed: ConditionTest = ({ freightPayer }) =>
  condition('freight-agreed', 'It is agreed who pays the freight.', freightPayer !== null);

export const insuredValueAgreed: ConditionTest = ({ insuredValueMinor }) =>
  condition('insured-value-agreed', 'An insured value is agreed.', insuredValueMinor !== null);

export const makerCommentSettled: ConditionTest = ({ makerCommentAgreed }) =>
  condition(
    'maker-comment-settled',
    'It is settled whether the maker may comment before publication.',
    makerCommentAgreed,
  );

export const arrivalWindowKnown: ConditionTest = ({ arrivalFrom, arrivalTo, arrivedOn }) =>
  condition(
    'arrival-window-known',
    'The arrival window is known.',
    arrivedOn !== null || (arrivalFrom !== null && arrivalTo !== null),
  );

export const returnDateKnown: ConditionTest = ({ returnBy }) =>
  condition('return-date-known', 'The return-by date is set.', returnBy !== null);

export const carrierKnown: ConditionTest = ({ carrier }) =>
  condition('carrier-known', 'The carrier is known.', Boolean(carrier));

export const conditionSigned: ConditionTest = ({ units, reports }) => {
  const signed = reports.filter((report) => report.moment === 'arrival' && report.signed);
  const whole = signed.some((report) => report.unitId === null);
  const open = units.filter((unit) => !whole && !signed.some((report) => report.unitId === unit.id));
  return condition(
    'condition-signed',
    open.length === 0
      ? 'The condition on arrival is recorded and signed.'
      : `The condition on arrival is recorded and signed. Open: ${listed(open.map((unit) => unit.name))}.`,
    units.length > 0 && open.length === 0,
  );
};

export const accessoriesCounted: ConditionTest = ({ accessories }) => {
  const open = accessories.filter((item) => item.arrivedCount === null).map((item) => item.name);
  return condition(
    'accessories-counted',
    open.length === 0
      ? 'Every accessory is counted.'
      : `Every accessory is counted. Not yet: ${listed(open)}.`,
    open.length === 0,
  );
};

export const shortfallReported: ConditionTest = ({ accessories, reports }) => {
  const short = accessories.some(
    (item) => item.arrivedCount !== null && item.arrivedCount < item.expectedCount,
  );
  const arrival = reports.filter((report) => report.moment === 'arrival');
  const damaged = arrival.some((report) => report.damage !== '' && !report.makerTold);
  const told = arrival.some((report) => report.makerTold);
  return condition(
    'shortfall-reported',
    'Missing or damaged items are reported to the maker.',
    !damaged && (!short || told),
  );
};

export const dataComplete: ConditionTest = ({ units }) => {
  const holes = units.flatMap((unit) => holesOf(unit));
  return condition(
    'data-complete',
    holes.length === 0
      ? 'Every planned data set is in and free of blocking findings.'
      : `Every planned data set is in and free of blocking findings. Open: ${holes.join('; ')}.`,
    units.length > 0 && holes.length === 0,
  );
};

const MOST_NAMED = 12;

/** What is open of a unit, in short: why each data set is open stands with the unit. */
function holesOf(unit: UnitFacts): string[] {
  const open = unit.plan.filter((planned) => planned.state !== 'complete' && planned.state !== 'waived');
  const sets =
    open.length > MOST_NAMED
      ? counted(open.length, 'data set')
      : open.map(({ title }) => inSentence(title)).join(', ');
  const findings = unit.blockingFindings > 0 ? counted(unit.blockingFindings, 'blocking finding') : '';
  const parts = [sets, findings].filter((part) => part !== '');
  return parts.length > 0 ? [`${unit.name}: ${parts.join(' and ')}`] : [];
}

const inSentence = (title: string): string => `${title.charAt(0).toLowerCase()}${title.slice(1)}`;
const counted = (number: number, one: string): string => `${number} ${one}${number === 1 ? '' : 's'}`;

export const sessionSealed: ConditionTest = ({ units }) => {
  const open = units.filter((unit) => unit.sealedSessions === 0).map((unit) => unit.name);
  return condition(
    'session-sealed',
    open.length === 0
      ? 'Every unit has a sealed listening session.'
      : `Every unit has a sealed listening session. Open: ${listed(open)}.`,
    units.length > 0 && open.length === 0,
  );
};

export const consHaveEvidence: ConditionTest = ({ cons }) => {
  const open = cons.filter((con) => con.evidence.trim() === '').map((con) => `“${con.text.slice(0, 60)}”`);
  return condition(
    'cons-have-evidence',
    open.length === 0
      ? 'Every con has its evidence, or says that it has none.'
      : `Every con has its evidence, or says that it has none. Open: ${listed(open)}.`,
    open.length === 0,
  );
};

/** The latest word of each colleague on this version counts: one approval, and nobody asking for changes. */
export const signedOff: ConditionTest = ({ signOffs, verdictVersion, draftVersion }) => {
  const latest = new Map<string, string>();
  for (const signOff of signOffs) {
    const stands = signOff.verdictVersion === verdictVersion && signOff.draftVersion === draftVersion;
    if (stands) latest.set(signOff.by, signOff.decision);
  }
  const decisions = [...latest.values()];
  return condition(
    'signed-off',
    'A co-host or editor has signed off the verdict as it stands, and nobody asks for changes.',
    verdictVersion > 0 && decisions.includes('approve') && !decisions.includes('request-changes'),
  );
};

/** Only where the terms give the maker a word before publication. */
export const makerRoundOver: ConditionTest = ({ makerRound }) =>
  condition(
    'maker-round-over',
    makerRound === 'not-agreed'
      ? 'No comment round with the maker is agreed.'
      : makerRound === 'not-begun'
        ? 'The maker’s comment round is over. It has not begun: make the maker’s preview on the verdict page.'
        : 'The maker’s comment round is over.',
    makerRound === 'not-agreed' || makerRound === 'over',
  );

export const embargoOver: ConditionTest = ({ embargoUntil, now }) =>
  condition(
    'embargo-over',
    embargoUntil === null ? 'No embargo stands.' : `The embargo has passed (${sayInstant(embargoUntil)}).`,
    embargoUntil === null || new Date(embargoUntil) <= now,
  );

const sayInstant = (instant: string): string =>
  `${new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short', timeZone: 'UTC' }).format(new Date(instant))} UTC`;

export const linkGiven: ConditionTest = ({ publishedUrl }) =>
  condition('link-given', 'The published link is recorded.', Boolean(publishedUrl));

export const mayLeaveBeforePublication: ConditionTest = ({ keepUntilPublished, stage }) =>
  condition(
    'may-leave-before-publication',
    'The maker does not ask for the unit to stay until the review is out.',
    !keepUntilPublished || stage === 'published',
  );

/** What is lost is settled once the maker was told and a note says what became of it. */
export const everythingPacked: ConditionTest = ({ accessories }) => {
  const open = accessories.filter(
    (item) => !item.lossSettled && (item.returnedCount ?? -1) < (item.arrivedCount ?? item.expectedCount),
  );
  return condition(
    'everything-packed',
    open.length === 0
      ? 'Everything that came is packed, or the maker was told of it.'
      : `Everything that came is packed, or the maker was told of it. Unaccounted for: ${listed(open.map((item) => item.name))}.`,
    open.length === 0,
  );
};

export const deliveryProven: ConditionTest = (facts) =>
  condition(
    'delivery-proven',
    'The proof of delivery is kept: a file, a photograph, or a note of what was seen.',
    facts.deliveryProven,
  );

export const returnSigned: ConditionTest = ({ reports }) =>
  condition(
    'return-signed',
    'The condition on return is recorded and signed.',
    reports.some((report) => report.moment === 'return' && report.signed),
  );

export const carrierBooked: ConditionTest = ({ returnCarrier, returnTracking }) =>
  condition(
    'return-carrier-booked',
    'The return carrier is booked and its tracking recorded.',
    Boolean(returnCarrier) && Boolean(returnTracking),
  );

export const deliveredOrSettled: ConditionTest = ({ deliveredOn, deliveryConfirmedBy, outcome }) =>
  condition(
    'delivered-or-settled',
    'The maker has confirmed delivery, or the unit was bought or written off.',
    (deliveredOn !== null && Boolean(deliveryConfirmedBy)) ||
      outcome === 'bought' ||
      outcome === 'written-off',
  );

/** A unit that was bought or written off needs no crate. */
export const unlessSettled =
  (test: ConditionTest): ConditionTest =>
  (facts) => {
    const tested = test(facts);
    return facts.outcome === 'bought' || facts.outcome === 'written-off' ? { ...tested, met: true } : tested;
  };
