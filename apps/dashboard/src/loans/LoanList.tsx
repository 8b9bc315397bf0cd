/** Every loan, open ones first; found by the server, a part at a time. */
import { useInfiniteQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import { useSettled } from '../api/useSettled.js';
import { useHere } from '../app/session.js';
import { stageWords, type LoanSummary } from '../contracts.js';
import { Answer, ChoiceField, Day, InventedMark, More, PageHead, TextField } from '../kit/index.js';
import { spareByClock, spareWords } from '../words/dates.js';
import { count } from '../words/numbers.js';
import { UrgencyTag } from './UrgencyTag.js';
import '../styles/loans.css';

type Show = 'open' | 'closed' | 'all';

export function LoanList() {
  const [show, setShow] = useState<Show>('open');
  const [text, setText] = useState('');
  const wanted = useSettled(text.trim());
  const loans = useInfiniteQuery(queries.loans({ show, text: wanted }));
  return (
    <>
      <PageHead
        title="Loans"
        acts={
          <Link className="button button-main" to="/loans/new">
            Add a loan
          </Link>
        }
      />
      <div className="stack">
        <div className="loan-filter">
          <TextField label="Find" value={text} onChange={setText} placeholder="Title, maker or unit" />
          <ChoiceField
            label="Show"
            value={show}
            onChange={setShow}
            options={[
              { value: 'open', words: 'Open' },
              { value: 'closed', words: 'Closed' },
              { value: 'all', words: 'All' },
            ]}
          />
        </div>
        <Answer query={loans} what="the loans">
          {({ pages }) =>
            pages.flat().length === 0 ? (
              <p className="empty">{noneWords(show, wanted)}</p>
            ) : (
              <LoanTable loans={pages.flat()} />
            )
          }
        </Answer>
        <More query={loans} words="More loans" />
      </div>
    </>
  );
}

function noneWords(show: Show, text: string): string {
  if (text !== '') return 'No loan like this.';
  return { open: 'No loan is open.', closed: 'No loan is closed.', all: 'No loan yet.' }[show];
}

function LoanTable({ loans }: { loans: readonly LoanSummary[] }) {
  return (
    <table className="list-table loan-table">
      <thead>
        <tr>
          <th scope="col">Loan</th>
          <th scope="col">Stage</th>
          <th scope="col">Units</th>
          <th scope="col">Back by</th>
          <th scope="col">To spare</th>
        </tr>
      </thead>
      <tbody>
        {loans.map((loan) => (
          <LoanRow key={loan.id} loan={loan} />
        ))}
      </tbody>
    </table>
  );
}

function LoanRow({ loan }: { loan: LoanSummary }) {
  const { session } = useHere();
  const spare = spareWords(loan.plan);
  const missing = loan.units.reduce((sum, unit) => sum + unit.missing, 0);
  return (
    <tr>
      <td>
        <Link to={`/loans/${loan.id}`}>
          <strong>{loan.title}</strong>
        </Link>{' '}
        {loan.invented && !session.invented && <InventedMark />}
        <div className="small soft">{loan.makerName}</div>
      </td>
      <td>{stageWords[loan.stage]}</td>
      <td>
        {loan.units.map((unit) => unit.name).join(', ')}
        {missing > 0 && <div className="small soft">{count(missing, 'data set')} open</div>}
      </td>
      <td>
        <Day day={loan.returnBy} none="no date" />
      </td>
      <td>
        <UrgencyTag urgency={loan.plan.urgency} />{' '}
        {spare !== null && loan.plan.urgency !== 'settled' && (
          <span title={spareByClock(loan.plan)}>{spare}</span>
        )}
      </td>
    </tr>
  );
}
