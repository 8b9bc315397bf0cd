/** The earlier units most like this one. Asked for only where this unit's own data is open already. */
import { useQuery } from '@tanstack/react-query';
import { Link } from 'react-router';
import type { ComparablesView, ComparableView } from '../contracts.js';
import { Icon, Quantity } from '../kit/index.js';
import { listWords } from '../words/numbers.js';
import { archiveQueries } from './archiveQueries.js';
import { withheldWords } from './archiveWords.js';
import { comparePath } from './compareAddress.js';
import '../styles/archive.css';

const comparedWords: Readonly<Record<ComparablesView['comparedBy'][number], string>> = {
  response: 'response',
  directivity: 'directivity',
  bass: 'bass',
};

/** Nothing where there is nothing near: it is an aside of the results, not a part that could be missing. */
export function NearestUnits({ unitId }: { unitId: string }) {
  const { data } = useQuery(archiveQueries.nearest(unitId));
  if (!data || (data.rows.length === 0 && data.withheld === 0)) return null;
  const withheld = withheldWords(data.withheld);
  const drawn = data.rows.filter((row) => row.responseAnalysisId !== null).slice(0, 3);
  return (
    <section className="section stack" aria-labelledby="nearest">
      <div className="row apart">
        <h2 id="nearest">Nearest earlier units</h2>
        {drawn.length > 0 && data.comparedBy.includes('response') && (
          <Link className="button" to={comparePath({ units: [unitId, ...drawn.map((row) => row.unitId)] })}>
            <Icon name="curve" /> Lay them over this one
          </Link>
        )}
      </div>
      {data.rows.length > 0 && (
        <>
          <p className="small soft">
            By {listWords(data.comparedBy.map((each) => comparedWords[each]))}. At a distance of 1 they are
            about 1 dB apart, or a third of an octave in bass.
          </p>
          <ul className="lines">
            {data.rows.map((row) => (
              <Nearest key={row.unitId} row={row} unitId={unitId} />
            ))}
          </ul>
        </>
      )}
      {withheld && <p className="small soft">{withheld}</p>}
    </section>
  );
}

function Nearest({ row, unitId }: { row: ComparableView; unitId: string }) {
  const parts = [
    { words: 'response', value: row.responseDb, unit: 'dB' },
    { words: 'directivity', value: row.directivityDb, unit: 'dB' },
    { words: 'bass', value: row.bassOctaves, unit: 'octave' },
  ].filter((part) => part.value !== null);
  return (
    <li className="archive-near">
      <span>
        <Link to={`/units/${row.unitId}/results`}>{row.unitName}</Link>{' '}
        <span className="soft small">{row.makerName}</span>
      </span>
      <span className="small soft">
        {parts.map((part, index) => (
          <span key={part.words}>
            {index > 0 && ', '}
            {part.words} <Quantity value={part.value} unit={part.unit} />
          </span>
        ))}
      </span>
      <span>
        <span className="small soft">distance</span> <Quantity value={row.distance} unit="" />
      </span>
      {row.responseAnalysisId !== null && (
        <Link
          to={comparePath({ units: [unitId, row.unitId] })}
          aria-label={`Lay ${row.unitName} over this unit`}
        >
          Lay over
        </Link>
      )}
    </li>
  );
}
