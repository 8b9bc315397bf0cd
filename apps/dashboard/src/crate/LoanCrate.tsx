/** The crate: what was in it, what goes back in it, and in what condition. Made for a phone at the unpacking table. */
import { useState } from 'react';
import { Link } from 'react-router';
import type { Moment } from '../contracts.js';
import { Cautions, ChoiceField } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { Checklist } from './Checklist.js';
import { heavyCautions } from './PackingList.js';
import { Reports } from './Reports.js';
import { SideBySide } from './SideBySide.js';
import { WayHome } from './WayHome.js';
import '../styles/crate.css';

const moments: readonly { value: Moment; words: string }[] = [
  { value: 'arrival', words: 'Unpacking' },
  { value: 'return', words: 'Packing for return' },
];

export function LoanCrate() {
  const loan = useLoan();
  const goingBack = loan.stage === 'returning' || loan.stage === 'published' || loan.stage === 'closed';
  const [moment, setMoment] = useState<Moment>(goingBack ? 'return' : 'arrival');
  return (
    <div className="stack">
      <div className="row apart">
        <ChoiceField label="At which end of the loan" value={moment} options={moments} onChange={setMoment} />
        {moment === 'return' && (
          <Link className="button" to={`/loans/${loan.id}/packing-list`}>
            Packing list to print
          </Link>
        )}
      </div>
      <Cautions cautions={heavyCautions(loan)} />
      <div className="crate">
        <Checklist loan={loan} moment={moment} />
        <Reports loan={loan} moment={moment} />
      </div>
      {moment === 'return' && (
        <>
          <SideBySide loan={loan} />
          <WayHome loan={loan} />
        </>
      )}
    </div>
  );
}
