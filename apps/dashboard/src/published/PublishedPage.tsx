/** Reviews that are out. */
import { useInfiniteQuery } from '@tanstack/react-query';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import { isMember, useHere } from '../app/session.js';
import type { LoanSummary } from '../contracts.js';
import { Answer, Icon, Instant, InventedMark, More, PageHead } from '../kit/index.js';

export function PublishedPage() {
  const { person } = useHere();
  const published = useInfiniteQuery(queries.published());
  return (
    <>
      <PageHead
        title="Published"
        beneath="Reviews that are out."
        acts={
          <>
            {isMember(person) && (
              <Link className="button" to="/readers">
                What readers say
              </Link>
            )}
            <Link className="button" to="/reviews">
              As readers see them
            </Link>
          </>
        }
      />
      <Answer query={published} what="what is published">
        {({ pages }) =>
          pages.flat().length === 0 ? (
            <p className="empty">Nothing is published yet. It appears here the moment it is.</p>
          ) : (
            <ul className="lines published">
              {pages.flat().map((loan) => (
                <PublishedLine key={loan.id} loan={loan} />
              ))}
            </ul>
          )
        }
      </Answer>
      <More query={published} words="Earlier reviews" />
    </>
  );
}

function PublishedLine({ loan }: { loan: LoanSummary }) {
  const { person } = useHere();
  return (
    <li className="stack">
      <div>
        <h2>
          {isMember(person) ? <Link to={`/loans/${loan.id}`}>{loan.title}</Link> : loan.title}{' '}
          {loan.invented && <InventedMark />}
        </h2>
        <p className="soft">
          {loan.makerName}: {loan.units.map((unit) => unit.name).join(', ')}
        </p>
        <p className="small soft">
          Published <Instant at={loan.publishedAt} />
        </p>
        <p className="small">
          <Link to={`/published/${loan.id}/listening`}>
            How it was listened to<span className="hidden">: {loan.title}</span>
          </Link>
        </p>
      </div>
      {loan.publishedUrl && (
        <div>
          <a className="button" href={loan.publishedUrl} target="_blank" rel="noreferrer">
            Read the review <Icon name="arrow" size={16} />
          </a>
        </div>
      )}
    </li>
  );
}
