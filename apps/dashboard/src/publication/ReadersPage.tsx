/** What readers say, in numbers and words, and how the team publishes. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import {
  feedbackLengths,
  feedbackLengthWords,
  feedbackMissing,
  feedbackMissingWords,
  type FeedbackOverview,
  type FeedbackSummary,
  type FeedbackView,
} from '../contracts.js';
import { Answer, Button, Instant, PageHead, Refusal } from '../kit/index.js';
import { count } from '../words/numbers.js';
import { HouseOfPublication } from './HouseOfPublication.js';
import '../styles/publication.css';

export function ReadersPage() {
  const { person } = useHere();
  const feedback = useQuery(queries.feedback());
  return (
    <>
      <PageHead
        title="Readers"
        beneath="What readers say of published reviews. Nobody outside sees their words before you show them."
      />
      <Answer query={feedback} what="what readers say">
        {(found) => <Overview found={found} />}
      </Answer>
      <HouseOfPublication mayChange={isOwner(person)} />
    </>
  );
}

function Overview({ found }: { found: FeedbackOverview }) {
  const answered = found.summaries.filter(({ answers }) => answers > 0);
  const words = found.entries.filter((entry) => entry.words !== '');
  if (answered.length === 0) return <p className="empty">No reader has answered yet.</p>;
  return (
    <div className="publication">
      <section className="stack" aria-labelledby="in-numbers">
        <h2 id="in-numbers">In numbers</h2>
        {answered.map((summary) => (
          <Summary key={summary.loanId} summary={summary} />
        ))}
      </section>
      <section className="stack" aria-labelledby="in-words">
        <h2 id="in-words">In their own words</h2>
        {words.length === 0 && <p className="soft">Nobody wrote any.</p>}
        <ul className="lines">
          {words.map((entry) => (
            <Entry key={entry.id} entry={entry} />
          ))}
        </ul>
      </section>
    </div>
  );
}

function Summary({ summary }: { summary: FeedbackSummary }) {
  const missing = feedbackMissing.filter((part) => summary.missing[part] > 0);
  return (
    <div className="stack">
      <h3>
        <Link to={`/reviews/${summary.loanId}`}>{summary.title}</Link>
      </h3>
      <dl className="facts">
        <div>
          <dt>Answers</dt>
          <dd className="num">{summary.answers}</dd>
        </div>
        <div>
          <dt>Clear, 1 to 5</dt>
          <dd className="num">{summary.meanClarity?.toFixed(1) ?? '–'}</dd>
        </div>
        {feedbackLengths.map((length) => (
          <div key={length}>
            <dt>{feedbackLengthWords[length]}</dt>
            <dd className="num">{summary.length[length]}</dd>
          </div>
        ))}
      </dl>
      {missing.length > 0 && (
        <p className="small">
          Missing:{' '}
          {missing
            .map((part) => `${feedbackMissingWords[part].toLowerCase()} (${summary.missing[part]})`)
            .join(', ')}
        </p>
      )}
      {summary.waiting > 0 && <p className="small soft">{count(summary.waiting, 'answer')} to look at.</p>}
    </div>
  );
}

const stateWords = {
  waiting: 'not looked at yet',
  shown: 'shown beside the review',
  hidden: 'kept inside',
} as const;

function Entry({ entry }: { entry: FeedbackView }) {
  const client = useQueryClient();
  const judging = useMutation({
    mutationFn: (show: boolean) => api.judgeFeedback(entry.id, { version: entry.version, show }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.feedback }),
  });
  return (
    <li className="stack">
      <p className="fact-text">{entry.words}</p>
      <p className="small soft">
        {entry.reviewTitle}, <Instant at={entry.at} />; {stateWords[entry.state]}
      </p>
      <div className="row">
        {entry.state !== 'shown' && (
          <Button busy={judging.isPending} onPress={() => judging.mutate(true)}>
            Show beside the review
          </Button>
        )}
        {entry.state !== 'hidden' && (
          <Button look="quiet" busy={judging.isPending} onPress={() => judging.mutate(false)}>
            Keep inside
          </Button>
        )}
      </div>
      <Refusal error={judging.error} />
    </li>
  );
}
