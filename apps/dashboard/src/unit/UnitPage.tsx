/** One loudspeaker: its data, results, listening and papers. */
import { useQuery } from '@tanstack/react-query';
import { Link, Outlet, useParams } from 'react-router';
import { queries } from '../api/queries.js';
import { unitKindWords, type UnitView } from '../contracts.js';
import { Answer, InventedMark, PageHead, Parts } from '../kit/index.js';
import type { UnitHere } from './useUnit.js';
import '../styles/unit.css';

export function UnitPage() {
  const { unitId = '' } = useParams();
  const unit = useQuery(queries.unit(unitId));
  return (
    <Answer query={unit} what="this unit">
      {(found) => <UnitParts unit={found} />}
    </Answer>
  );
}

function UnitParts({ unit }: { unit: UnitView }) {
  const loan = useQuery(queries.loan(unit.loanId)).data ?? null;
  const base = `/units/${unit.id}`;
  const open = unit.plan.filter(({ state }) => !['complete', 'waived', 'sealed'].includes(state)).length;
  const here: UnitHere = { unit, loan };
  return (
    <>
      <PageHead
        title={unit.name}
        above={{ to: `/loans/${unit.loanId}`, words: loan?.title ?? 'Its loan' }}
        beneath={
          <>
            {unitKindWords[unit.kind].toLowerCase()}
            {loan && (
              <>
                {' '}
                from <Link to={`/makers/${loan.makerId}`}>{loan.makerName}</Link>
              </>
            )}
            {unit.serial !== '' && (
              <>
                , serial <span className="num">{unit.serial}</span>
              </>
            )}{' '}
            {unit.invented && <InventedMark />}
          </>
        }
      />
      <Parts
        label="Parts of this unit"
        parts={[
          { to: base, words: 'Data', mark: open > 0 ? `${open} open` : undefined },
          { to: `${base}/results`, words: 'Results' },
          { to: `${base}/listening`, words: 'Listening' },
          { to: `${base}/evidence`, words: 'Evidence' },
          { to: `${base}/about`, words: 'About' },
        ]}
      />
      <Outlet context={here} />
    </>
  );
}
