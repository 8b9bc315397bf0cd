/** Where a review's numbers come from, how it was heard, and what may be done with it. */
import type { ReviewView } from '../contracts.js';

export function ReviewSources({ review }: { review: ReviewView }) {
  const { licence } = review;
  return (
    <section className="section stack" aria-labelledby="sources">
      <h2 id="sources">How it was measured and heard</h2>
      {review.units.flatMap((unit) =>
        unit.measured.map((set) => (
          <div key={`${unit.id} ${set.inputs}`}>
            <h3>
              {unit.name}: {set.setName}
            </h3>
            <p className="small">
              Measured on {set.measuredOn}
              {set.invented && ' (invented data, computed from physics)'}. {set.conditions.join('. ')}.
            </p>
            <p className="small soft review-hash">
              {set.files} files; algorithm {set.algorithmVersion}; inputs {set.inputs}
            </p>
            {set.checks.length > 0 && (
              <ul className="small">
                {set.checks.map((check) => (
                  <li key={check}>{check}</li>
                ))}
              </ul>
            )}
          </div>
        )),
      )}
      {review.listening.map((session) => (
        <div key={session.sealHash}>
          <h3>
            {session.unitName}, heard by {session.by}
          </h3>
          <p className="small">
            {session.heardOn}. {session.placement}
          </p>
          <ul className="small">
            {session.remarks.map((remark) => (
              <li key={remark.text}>{remark.text}</li>
            ))}
          </ul>
          <p className="small soft review-hash">
            {session.blind ? 'Blind: sealed before any data was seen.' : 'The listener had seen data.'} Seal{' '}
            {session.sealHash}
          </p>
        </div>
      ))}
      <h3>Licence of the data</h3>
      <p className="small">
        {licence.url === '' ? licence.name : <a href={licence.url}>{licence.name}</a>}, {review.teamName}.{' '}
        {licence.words}
      </p>
      <p className="small soft">
        Measurements of one unit on one day; room, method and the spread between units limit them.
      </p>
    </section>
  );
}
