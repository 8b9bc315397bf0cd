/** The archive for everybody: reviews that are out, found by their numbers, ticked to be compared. */
import { useInfiniteQuery, useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { readAsk, readChosen, writeAsk, type ArchiveAsk } from '../archive/archiveAddress.js';
import { ArchiveSearch } from '../archive/ArchiveSearch.js';
import { MOST_COMPARED, type ReviewSummary, type ReviewUnitsPage } from '../contracts.js';
import { Answer, Button, Icon, Instant, InventedMark, More, PageHead } from '../kit/index.js';
import { count, listWords } from '../words/numbers.js';
import { compareReviewsPath, reviewQueries } from './reviewQueries.js';
import { ReviewTable } from './ReviewTable.js';
import '../styles/archive.css';

/** Not shown to readers unless the team has chosen so; not searched by either. */
export const estimates = ['predictedPreference', 'predictedPreferenceIgnoringBass'] as const;

export function ReviewsPage() {
  const [address, setAddress] = useSearchParams();
  const ask = readAsk(address);
  const [chosen, setChosen] = useState<readonly string[]>(() => readChosen(address));
  const reviews = useInfiniteQuery(reviewQueries.list());
  const found = useQuery(reviewQueries.units(ask));
  const change = (next: ArchiveAsk) => setAddress(writeAsk(next, chosen), { preventScrollReset: true });
  const choose = (ids: readonly string[]) => {
    setChosen(ids);
    setAddress(writeAsk(ask, ids), { replace: true, preventScrollReset: true });
  };
  return (
    <>
      <PageHead title="Reviews" beneath="Measured, heard and published, as they stood when they came out." />
      <div className="stack">
        <Answer query={reviews} what="the reviews">
          {(list) => <ReviewList reviews={list.pages.flat()} />}
        </Answer>
        <More query={reviews} words="Earlier reviews" />
        <section className="section stack" aria-labelledby="by-numbers">
          <h2 id="by-numbers">Find units by their numbers</h2>
          <ArchiveSearch
            key={writeAsk({ ...ask, page: 1, sort: 'measured', order: 'falling' }, []).toString()}
            ask={ask}
            onAsk={change}
            without={estimates}
          />
          <Answer query={found} what="the units">
            {(page) => <Units page={page} ask={ask} chosen={chosen} onAsk={change} onChoose={choose} />}
          </Answer>
        </section>
      </div>
    </>
  );
}

function ReviewList({ reviews }: { reviews: readonly ReviewSummary[] }) {
  if (reviews.length === 0) return <p className="empty">Nothing is published yet.</p>;
  return (
    <ul className="review-list">
      {reviews.map((review) => (
        <li key={review.loanId}>
          <h2>
            <Link to={`/reviews/${review.loanId}`}>{review.title}</Link>
          </h2>
          <p className="small soft">
            {listWords(review.units.map((unit) => unit.name))}, published{' '}
            <Instant at={review.firstPublishedAt} />
            {review.number > 1 && <>, corrected (version {review.number})</>}{' '}
            {review.invented && <InventedMark />}
          </p>
        </li>
      ))}
    </ul>
  );
}

function Units(props: {
  page: ReviewUnitsPage;
  ask: ArchiveAsk;
  chosen: readonly string[];
  onAsk: (ask: ArchiveAsk) => void;
  onChoose: (ids: readonly string[]) => void;
}) {
  const { page, ask, chosen, onAsk } = props;
  const last = Math.max(1, Math.ceil(page.total / page.pageSize));
  return (
    <div className="stack">
      <output className="small soft">{count(page.total, 'unit')}</output>
      {page.total === 0 ? (
        <p className="empty">No published unit is like this. Widen the limits.</p>
      ) : (
        <ReviewTable rows={page.rows} ask={ask} chosen={chosen} onAsk={onAsk} onChoose={props.onChoose} />
      )}
      {last > 1 && (
        <nav className="row" aria-label="Pages">
          <Button
            icon="back"
            isDisabled={page.page <= 1}
            onPress={() => onAsk({ ...ask, page: page.page - 1 })}
          >
            Earlier page
          </Button>
          <span>
            Page {page.page} of {last}
          </span>
          <Button
            icon="arrow"
            isDisabled={page.page >= last}
            onPress={() => onAsk({ ...ask, page: page.page + 1 })}
          >
            Next page
          </Button>
        </nav>
      )}
      {page.total > 1 && <Chosen chosen={chosen} onClear={() => props.onChoose([])} />}
    </div>
  );
}

function Chosen({ chosen, onClear }: { chosen: readonly string[]; onClear: () => void }) {
  return (
    <div className="archive-chosen row" data-some={chosen.length > 0 || undefined}>
      <span>
        {chosen.length === 0
          ? 'Tick two or more units to lay them over each other.'
          : `${chosen.length} ticked${chosen.length >= MOST_COMPARED ? ', which is the most' : ''}`}
      </span>
      {chosen.length > 1 && (
        <Link className="button button-main" to={compareReviewsPath({ units: chosen })}>
          <Icon name="curve" /> Lay over each other
        </Link>
      )}
      {chosen.length > 0 && (
        <Button look="quiet" onPress={onClear}>
          Untick all
        </Button>
      )}
    </div>
  );
}
