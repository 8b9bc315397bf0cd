/** The first page: what needs us next, and what will go back late? */
import { useQuery } from '@tanstack/react-query';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import type { DashboardView, Need } from '../contracts.js';
import { Answer, useToday, useTitle } from '../kit/index.js';
import { LoanTimeline } from '../timeline/LoanTimeline.js';
import { shortDay } from '../words/dates.js';
import { count } from '../words/numbers.js';
import { headline, inOrder, placeOf } from './answer.js';
import { Needs } from './Needs.js';
import { Running } from './Running.js';
import '../styles/today.css';

export function Today() {
  useTitle('Today');
  const dashboard = useQuery(queries.dashboard());
  return (
    <Answer query={dashboard} what="today">
      {(view) => <TodayView view={view} />}
    </Answer>
  );
}

function TodayView({ view }: { view: DashboardView }) {
  const today = useToday();
  const next = inOrder(view.needs)[0];
  return (
    <>
      <header className="today-head">
        <p className="soft">
          <time dateTime={today}>{shortDay(today, today)}</time>
          {', '}
          {count(view.loans.length, 'loan')} open, {count(view.needs.length, 'thing waits', 'things wait')}{' '}
          for somebody
        </p>
        <h1>{headline(view)}</h1>
        {next && <NextLine need={next} />}
      </header>
      <Running running={view.running} />
      {!view.begun ? (
        <p className="empty">
          Nothing has been lent to you yet. <Link to="/loans/new">Add the first loan</Link>; its maker comes
          with it.
        </p>
      ) : (
        <section aria-labelledby="bands">
          <h2 id="bands" className="hidden">
            Loans until their return
          </h2>
          <LoanTimeline loans={view.loans} />
        </section>
      )}
      {view.begun && <Needs needs={view.needs} />}
    </>
  );
}

/** The one thing to do first. */
function NextLine({ need }: { need: Need }) {
  return (
    <p className="today-next">
      First: <Link to={placeOf(need)}>{need.title}</Link>. {need.sentence}
    </p>
  );
}
