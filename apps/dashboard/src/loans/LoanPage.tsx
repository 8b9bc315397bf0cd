/** One loan: its name, where it stands, and the parts beneath. */
import { useQuery } from '@tanstack/react-query';
import { Link, Outlet, useParams } from 'react-router';
import { queries } from '../api/queries.js';
import type { LoanView } from '../contracts.js';
import { Answer, InventedMark, PageHead, Parts } from '../kit/index.js';
import { StageTrack } from './StageTrack.js';
import { UrgencyTag } from './UrgencyTag.js';
import '../styles/loans.css';

export function LoanPage() {
  const { loanId = '' } = useParams();
  const loan = useQuery(queries.loan(loanId));
  return (
    <Answer query={loan} what="this loan">
      {(found) => <LoanParts loan={found} />}
    </Answer>
  );
}

function LoanParts({ loan }: { loan: LoanView }) {
  const base = `/loans/${loan.id}`;
  const unsigned = loan.reports.filter((report) => !report.signedAt).length;
  return (
    <>
      <PageHead
        title={loan.title}
        above={{ to: '/loans', words: 'Loans' }}
        beneath={
          <>
            from <Link to={`/makers/${loan.makerId}`}>{loan.makerName}</Link>{' '}
            {loan.invented && <InventedMark />} <UrgencyTag urgency={loan.plan.urgency} />
          </>
        }
      />
      <StageTrack stage={loan.stage} />
      <Parts
        label="Parts of this loan"
        parts={[
          { to: base, words: 'Next' },
          { to: `${base}/terms`, words: 'Terms' },
          {
            to: `${base}/crate`,
            words: 'Crate and condition',
            mark: unsigned > 0 ? String(unsigned) : undefined,
          },
          { to: `${base}/verdict`, words: 'Verdict' },
          { to: `${base}/publish`, words: 'Publish' },
          { to: `${base}/history`, words: 'History' },
        ]}
      />
      <Outlet context={loan} />
    </>
  );
}
