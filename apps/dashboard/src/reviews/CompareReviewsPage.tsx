/** Two to eight published units laid over each other, for everybody. */
import { useQuery } from '@tanstack/react-query';
import { Link, useSearchParams } from 'react-router';
import { readCompare, type CompareAsk } from '../archive/compareAddress.js';
import { CompareLooks } from '../archive/CompareLooks.js';
import { Figure } from '../figures/Figure.js';
import { Answer, PageHead } from '../kit/index.js';
import { compareReviewLinks, compareReviewsPath, reviewQueries } from './reviewQueries.js';
import '../styles/archive.css';
import '../styles/unit.css';

export function CompareReviewsPage() {
  const [address] = useSearchParams();
  const ask = readCompare(address);
  return (
    <>
      <PageHead
        title="Laid over each other"
        above={{ to: `/reviews?chosen=${ask.units.join(',')}`, words: 'Reviews' }}
      />
      {ask.units.length < 2 ? (
        <p className="empty">
          Two units at least are needed. Tick them among the <Link to="/reviews">reviews</Link>.
        </p>
      ) : (
        <Compared ask={ask} />
      )}
    </>
  );
}

function Compared({ ask }: { ask: CompareAsk }) {
  const [, setAddress] = useSearchParams();
  const comparison = useQuery(reviewQueries.comparison(ask));
  const change = (look: Partial<CompareAsk>) => {
    const next = new URL(compareReviewsPath({ ...ask, ...look }), window.location.href);
    setAddress(next.searchParams, { replace: true, preventScrollReset: true });
  };
  return (
    <div className="stack">
      <CompareLooks ask={ask} onChange={change} />
      <h2 className="hidden">The figure</h2>
      <Answer query={comparison} what="the comparison">
        {(description) => (
          <Figure
            key={description.name}
            level={3}
            links={{ name: description.name, title: description.title, ...compareReviewLinks(ask) }}
          />
        )}
      </Answer>
      <p className="small soft">
        Each curve is one unit on one day, as it was published. Room, method and the spread between units
        limit what small differences can say.
      </p>
    </div>
  );
}
