/** When a loan that is only thought of could be back, and what else would move. */
import { Link } from 'react-router';
import type { WhatIfView } from '../contracts.js';
import { Icon, Notice, useNow } from '../kit/index.js';
import { clockWords, dayInZone, dayNumber, shortDay } from '../words/dates.js';
import { ChangeTable } from './ChangeTable.js';
import { urgencyWords } from './urgencyWords.js';

export function WhatIfOutcome({ view, zone }: { view: WhatIfView; zone: string }) {
  const today = dayInZone(useNow(), zone);
  const day = (at: string | null) =>
    at === null ? null : at.length <= 10 ? shortDay(at, today) : clockWords(at, today, zone);
  const dates: readonly (readonly [string, string | null])[] = [
    ['Reviewed', day(view.reviewedAt)],
    ['Published', day(view.publishedAt)],
    ['Ready to send back', day(view.readyToSendAt)],
    ['Back with the maker', day(view.returnedAt)],
    ['Must arrive by', day(view.mustArriveBy)],
    ['Ask for an extension to', day(view.askExtensionTo)],
  ];
  return (
    <section className="section stack" aria-label="What would happen" aria-live="polite">
      <h2>{headOf(view, today, zone)}</h2>
      <p className="plan-sentence" data-urgency={view.urgency}>
        {(view.urgency === 'late' || view.urgency === 'at-risk') && (
          <Icon name={view.urgency === 'late' ? 'blocked' : 'warning'} />
        )}{' '}
        {view.sentence}
      </p>
      <dl className="facts">
        {dates.flatMap(([word, at]) =>
          at === null
            ? []
            : [
                <div key={word}>
                  <dt>{word}</dt>
                  <dd>{at}</dd>
                </div>,
              ],
        )}
      </dl>
      {view.problems.length > 0 && (
        <Notice tone="caution" title="Not everything can be planned">
          <ul>
            {view.problems.map(({ message }) => (
              <li key={message}>{message}</li>
            ))}
          </ul>
        </Notice>
      )}
      <Steps view={view} zone={zone} today={today} />
      <Others view={view} zone={zone} />
    </section>
  );
}

function headOf({ returnedAt, urgency }: WhatIfView, today: string, zone: string): string {
  if (returnedAt === null) return 'It can’t be planned through';
  const back = dayInZone(new Date(returnedAt), zone);
  const days = dayNumber(back) - dayNumber(today);
  const late = urgency === 'late' ? ', too late' : '';
  return `Back with the maker ${shortDay(back, today)}, ${days} days from now${late}`;
}

function Steps({ view, zone, today }: { view: WhatIfView; zone: string; today: string }) {
  const planned = view.steps.filter(({ start }) => start !== null);
  if (planned.length === 0) return null;
  return (
    <details>
      <summary>Its steps</summary>
      <table className="list-table">
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col">From</th>
            <th scope="col">To</th>
          </tr>
        </thead>
        <tbody>
          {planned.map((step) => (
            <tr key={step.stepId}>
              <th scope="row">{step.title}</th>
              <td>{clockWords(step.start ?? '', today, zone)}</td>
              <td>{step.finish && clockWords(step.finish, today, zone)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

function Others({ view, zone }: { view: WhatIfView; zone: string }) {
  return (
    <>
      {view.worse.length > 0 && (
        <Notice tone="wrong" title="It would push other loans">
          <ul>
            {view.worse.map((one) => (
              <li key={one.loanId}>
                <Link to={`/loans/${one.loanId}`}>{one.title}</Link>: {urgencyWords[one.before]} now,{' '}
                {urgencyWords[one.after]} then
              </li>
            ))}
          </ul>
        </Notice>
      )}
      <h3>What else would move</h3>
      {view.changes.length === 0 ? (
        <p className="soft">Nothing: it fits beside the others.</p>
      ) : (
        <ChangeTable changes={view.changes} zone={zone} />
      )}
    </>
  );
}
