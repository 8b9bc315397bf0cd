/** Why the plan in force should be looked at again, in sentences. */
import { DateTime } from 'luxon';
import type { PlanCause } from '../contracts/index.js';
import type { BookingRow } from './bookingRows.js';
import type { LoanFact, OwnCalendar, PlanFacts } from './planFacts.js';

interface CauseInput {
  /** Undefined while no plan was accepted. */
  readonly before: PlanFacts | undefined;
  readonly after: PlanFacts;
  /** Sessions whose time is over and that are to be planned again. */
  readonly missed: readonly BookingRow[];
  readonly now: Date;
  readonly zone: string;
}

export function planCauses(input: CauseInput): PlanCause[] {
  const { before, after } = input;
  if (!before) return [{ code: 'first-plan', loanId: null, sentence: 'No plan has been accepted yet.' }];
  return [
    ...loanCauses(input, before),
    ...input.missed.map((row) => missedCause(row, input)),
    ...calendarCauses(before.people, after.people, input, 'is away'),
    ...calendarCauses(before.places, after.places, input, 'is closed'),
    ...(before.house === after.house ? [] : [cause('hours', null, 'The hours of the house have changed.')]),
    ...(before.templates === after.templates
      ? []
      : [cause('templates', null, 'The templates of work have changed.')]),
  ];
}

const cause = (code: PlanCause['code'], loanId: string | null, sentence: string): PlanCause => ({
  code,
  loanId,
  sentence,
});

function loanCauses(input: CauseInput, before: PlanFacts): PlanCause[] {
  const { after } = input;
  const changed = Object.entries(after.loans).flatMap(([id, is]) => {
    const was = before.loans[id];
    return was ? changesOf(id, was, is, input) : [cause('loan-added', id, `“${is.title}” is new.`)];
  });
  const gone = Object.entries(before.loans)
    .filter(([id, was]) => !after.loans[id] && !was.sent)
    .map(([id, { title }]) => cause('loan-over', id, `“${title}” is closed.`));
  return [...changed, ...gone];
}

function changesOf(id: string, was: LoanFact, is: LoanFact, input: CauseInput): PlanCause[] {
  const day = (instant: string) => whenWords(new Date(instant), input.zone);
  const causes: PlanCause[] = [];
  const add = (code: PlanCause['code'], sentence: string) => causes.push(cause(code, id, sentence));
  if (is.sent && !was.sent) return [cause('loan-over', id, `“${is.title}” is on its way back.`)];
  if (is.arrived && !was.arrived) add('arrived', `The crate of “${is.title}” has arrived.`);
  else if (!is.arrived) {
    if (was.arrival !== is.arrival && is.arrival !== null) {
      const late = was.arrival !== null && is.arrival > was.arrival;
      const instead = was.arrival === null ? '' : `, not on ${day(was.arrival)}`;
      add(
        late ? 'crate-late' : 'crate-early',
        `The crate of “${is.title}” comes on ${day(is.arrival)}${instead}.`,
      );
    } else if (is.arrival !== null && new Date(is.arrival) < input.now) {
      add('crate-late', `The crate of “${is.title}” was expected on ${day(is.arrival)} and is not here.`);
    }
  }
  if (was.returnBy !== is.returnBy && is.returnBy !== null) {
    const longer = was.returnBy !== null && is.returnBy > was.returnBy;
    const instead = was.returnBy === null ? '' : `, not on ${day(was.returnBy)}`;
    add(longer ? 'extended' : 'shortened', `“${is.title}” is due back on ${day(is.returnBy)}${instead}.`);
  }
  if (was.terms !== is.terms) add('terms', `The terms or units of “${is.title}” have changed.`);
  const reopened = was.over.filter((step) => !is.over.includes(step));
  if (reopened.length > 0) add('measure-again', `“${is.title}” has work to do again: ${kinds(reopened)}.`);
  const done = is.over.filter((step) => !was.over.includes(step));
  if (done.length > 0) add('step-done', `Done of “${is.title}”: ${kinds(done)}.`);
  return causes;
}

const kinds = (stepIds: readonly string[]): string =>
  [...new Set(stepIds.map((id) => id.split(':')[0]))].join(', ');

function missedCause(row: BookingRow, { after, zone }: CauseInput): PlanCause {
  const title = after.loans[row.loanId]?.title ?? '';
  const when = whenWords(row.start, zone);
  return cause('step-missed', row.loanId, `“${row.label}” of “${title}”, planned for ${when}, is not done.`);
}

function calendarCauses(
  before: Readonly<Record<string, OwnCalendar>>,
  after: Readonly<Record<string, OwnCalendar>>,
  { now, zone }: CauseInput,
  isAway: string,
): PlanCause[] {
  const gone = Object.entries(before)
    .filter(([id]) => !after[id])
    .map(([, was]) => cause('hours', null, `${capital(was.name)} no longer takes part in the plan.`));
  const there = Object.entries(after).flatMap(([id, is]) => {
    const was = before[id];
    if (!was) return [cause('hours', null, `${capital(is.name)} is new to the plan.`)];
    const spans = (list: readonly string[]) => spanWords(list, zone);
    const more = is.away.filter((span) => !was.away.includes(span));
    const less = was.away.filter(
      (span) => !is.away.includes(span) && new Date(span.split('/')[1] ?? '') > now,
    );
    return [
      ...(more.length > 0 ? [cause('away', null, `${capital(is.name)} ${isAway}: ${spans(more)}.`)] : []),
      ...(less.length > 0
        ? [cause('back', null, `${capital(is.name)} is there after all: ${spans(less)}.`)]
        : []),
      ...(was.hours === is.hours ? [] : [cause('hours', null, `The hours of ${is.name} have changed.`)]),
    ];
  });
  return [...gone, ...there];
}

const SPANS_SAID = 3;
function spanWords(spans: readonly string[], zone: string): string {
  const said = spans.slice(0, SPANS_SAID).map((span) => {
    const [from = '', to = ''] = span.split('/');
    return stretchWords(DateTime.fromISO(from, { zone }), DateTime.fromISO(to, { zone }));
  });
  const more = spans.length - said.length;
  return said.join('; ') + (more > 0 ? ` and ${more} more` : '');
}

/** From midnight to midnight it is days, the last one included. */
export function stretchWords(from: DateTime, to: DateTime): string {
  const whole = [from, to].every((at) => at.equals(at.startOf('day')));
  if (!whole) return `${clockWords(from)} to ${clockWords(to)}`;
  const days = [from, to.minus({ days: 1 })].map((at) => at.setLocale('en-GB').toFormat('ccc d LLL'));
  return days[0] === days[1] ? (days[0] ?? '') : days.join(' to ');
}

const capital = (name: string): string => name.charAt(0).toUpperCase() + name.slice(1);

/** Tue 3 Jun, 09:00 */
export const whenWords = (at: Date, zone: string): string => clockWords(DateTime.fromJSDate(at, { zone }));
const clockWords = (at: DateTime): string => at.setLocale('en-GB').toFormat('ccc d LLL, HH:mm');
