/** The crate: what was in it, what goes back in it, and in what condition. Made for a phone at the unpacking table. */
import { useState } from 'react';
import type { Moment } from '../contracts.js';
import { Cautions, ChoiceField } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { Checklist } from './Checklist.js';
import { Reports } from './Reports.js';
import '../styles/crate.css';

const moments: readonly { value: Moment; words: string }[] = [
  { value: 'arrival', words: 'Unpacking' },
  { value: 'return', words: 'Packing for return' },
];

export function LoanCrate() {
  const loan = useLoan();
  const goingBack = loan.stage === 'returning' || loan.stage === 'published' || loan.stage === 'closed';
  const [moment, setMoment] = useState<Moment>(goingBack ? 'return' : 'arrival');
  const heavy = [...new Set(loan.unitDetails.flatMap((unit) => unit.cautions))].filter((caution) =>
    /lift|heavy|kg|stand|tip/i.test(caution),
  );
  return (
    <div className="stack">
      <ChoiceField label="At which end of the loan" value={moment} options={moments} onChange={setMoment} />
      <Cautions cautions={heavy} />
      <div className="crate">
        <Checklist loan={loan} moment={moment} />
        <Reports loan={loan} moment={moment} />
      </div>
    </div>
  );
}
