/** What this loan needs next: the way on, its units and the plan back from its return. */
import { Cautions } from '../kit/index.js';
import { LoanUnits } from './LoanUnits.js';
import { Moves } from './Moves.js';
import { PlanPart } from './PlanPart.js';
import { useLoan } from './useLoan.js';

export function LoanNext() {
  const loan = useLoan();
  const cautions = [...new Set(loan.unitDetails.flatMap((unit) => unit.cautions))];
  return (
    <div className="loan-next">
      <div className="stack">
        <Moves loan={loan} />
        <LoanUnits loan={loan} />
        <Cautions cautions={cautions} />
      </div>
      <PlanPart loan={loan} />
    </div>
  );
}
