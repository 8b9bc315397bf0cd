/** One review as it was published: words, numbers, figures, data; earlier versions marked as such. */
import { useQuery } from '@tanstack/react-query';
import { Link, useParams, useSearchParams } from 'react-router';
import { NumberOf } from '../archive/ArchiveTable.js';
import {
  archiveNumberNames,
  archiveNumbers,
  unitKindWords,
  type PublicUnitContent,
  type ReviewPoint,
  type ReviewView,
} from '../contracts.js';
import { Figure } from '../figures/Figure.js';
import { Answer, Cautions, Icon, Instant, InventedMark, Notice, PageHead } from '../kit/index.js';
import { bytesWords } from '../words/numbers.js';
import { FeedbackForm } from './FeedbackForm.js';
import { reviewQueries } from './reviewQueries.js';
import { ReviewSources } from './ReviewSources.js';
import '../styles/unit.css';

export function ReviewPage() {
  const { loanId = '' } = useParams();
  const [address] = useSearchParams();
  const asked = Number(address.get('version'));
  const version = Number.isInteger(asked) && asked > 0 ? asked : undefined;
  const review = useQuery(reviewQueries.one(loanId, version));
  return (
    <Answer query={review} what="this review" gone="There is no published review at this address.">
      {(found) => <Review review={found} />}
    </Answer>
  );
}

function Review({ review }: { review: ReviewView }) {
  return (
    <>
      <PageHead
        title={review.title}
        above={{ to: '/reviews', words: 'Reviews' }}
        beneath={
          <>
            {review.teamName}, <Instant at={review.publishedAt} /> {review.invented && <InventedMark />}
          </>
        }
        acts={
          <a className="button" href={review.bundleUrl} download>
            <Icon name="download" /> All of it as ZIP ({bytesWords(review.bundleBytes)})
          </a>
        }
      />
      <div className="stack review">
        <Versions review={review} />
        <section className="stack" aria-labelledby="verdict">
          <h2 id="verdict">Verdict</h2>
          {/* Made by the server from Markdown without any HTML of its own; nothing in it runs. */}
          {/* oxlint-disable-next-line react/no-danger */}
          <div className="review-text" dangerouslySetInnerHTML={{ __html: review.html }} />
          <div className="review-points">
            <Points title="For it" points={review.text.pros} />
            <Points title="Against it" points={review.text.cons} />
            <Points title="Suggestions" points={review.text.suggestions} />
          </div>
        </section>
        {review.units.map((unit) => (
          <UnitPart key={unit.id} unit={unit} review={review} />
        ))}
        <ReviewSources review={review} />
        <Cautions cautions={review.cautions} />
        <FeedbackForm key={review.loanId} review={review} />
      </div>
    </>
  );
}

function Versions({ review }: { review: ReviewView }) {
  const [latest] = review.versions;
  const superseded = latest !== undefined && latest.number > review.number;
  return (
    <>
      {superseded && (
        <Notice tone="caution" title={`This is version ${review.number}; it has been superseded.`}>
          <p>
            <Link to={`/reviews/${review.loanId}`}>Read version {latest.number}</Link>
          </p>
        </Notice>
      )}
      {review.changeNote !== '' && (
        <Notice title={`Corrected in version ${review.number}`}>
          <p>{review.changeNote}</p>
        </Notice>
      )}
      {review.versions.length > 1 && (
        <details className="small">
          <summary>All versions</summary>
          <ul>
            {review.versions.map((each) => (
              <li key={each.number}>
                <Link to={`/reviews/${review.loanId}?version=${each.number}`}>Version {each.number}</Link>,{' '}
                <Instant at={each.publishedAt} />
                {each !== latest && ' (superseded)'} {each.changeNote}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function Points({ title, points }: { title: string; points: readonly ReviewPoint[] }) {
  if (points.length === 0) return null;
  return (
    <div className="stack">
      <h3>{title}</h3>
      <ul className="lines">
        {points.map((point) => (
          <li key={point.text}>
            {point.text}
            {point.evidence !== '' && <div className="small soft">{point.evidence}</div>}
          </li>
        ))}
      </ul>
    </div>
  );
}

function UnitPart({ unit, review }: { unit: PublicUnitContent; review: ReviewView }) {
  const numbers = archiveNumberNames.filter((name) => unit.numbers[name] !== null);
  const figures = review.figures.find((each) => each.unitId === unit.id)?.figures ?? [];
  return (
    <section className="section stack" aria-labelledby={`unit-${unit.id}`}>
      <h2 id={`unit-${unit.id}`}>{unit.name}</h2>
      <p className="soft">
        {[unit.makerName, unitKindWords[unit.kind].toLowerCase(), unit.drivers, unit.finish]
          .filter((part) => part !== '')
          .join('; ')}
      </p>
      {numbers.length > 0 && (
        <dl className="glance">
          {numbers.map((name) => (
            <div key={name}>
              <dt>{archiveNumbers[name].words.replace(/ ±$/, '')}</dt>
              <dd>
                <NumberOf name={name} value={unit.numbers[name]} />
              </dd>
            </div>
          ))}
        </dl>
      )}
      {figures.map((figure) => (
        <Figure key={figure.descriptionUrl} links={figure} />
      ))}
    </section>
  );
}
