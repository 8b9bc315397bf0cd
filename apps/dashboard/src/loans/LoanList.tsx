/** Every loan, open ones first. */
import { useQuery } from '@tanstack/react-query';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import { useHere } from '../app/session.js';
import { stageWords, type LoanSummary } from '../contracts.js';
import { Answer, ChoiceField, Day, InventedMark, PageHead, TextField } from '../kit/index.js';
import { spareByClock, spareWords } from '../words/dates.js';
import { count } from '../words/numbers.js';
import { UrgencyTag } from './UrgencyTag.js';
import '../styles/loans.css';

type Show = 'open' | 'closed' | 'all';

export function LoanList() {
  const loans = useQuery(queries.loans());
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
      <Answer query={loans} what="the loans">
        {(found) => <FilteredLoans loans={found} />}
      </Answer>
    </>
  );
}

function FilteredLoans({ loans }: { loans: readonly LoanSummary[] }) {
  const [show, setShow] = useState<Show>('open');
  const [text, setText] = useState('');
  const shown = useMemo(() => {
    const wanted = text.trim().toLocaleLowerCase();
    return loans
      .filter((loan) => show === 'all' || (loan.stage === 'closed') === (show === 'closed'))
      .filter((loan) => wanted === '' || haystack(loan).includes(wanted))
      .sort((a, b) => (a.returnBy ?? '9').localeCompare(b.returnBy ?? '9'));
  }, [loans, show, text]);
  return (
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
      {shown.length === 0 ? (
        <p className="empty">{loans.length === 0 ? 'No loan yet.' : 'No loan like this.'}</p>
      ) : (
        <LoanTable loans={shown} />
      )}
    </div>
  );
}

function haystack(loan: LoanSummary): string {
  return [loan.title, loan.makerName, ...loan.units.map((unit) => unit.name)].join(' ').toLocaleLowerCase();
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
