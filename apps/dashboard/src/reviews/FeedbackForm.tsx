/** A few questions to the reader, by which the team tunes its reviews; and what others wrote that the team shows. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import {
  feedbackLengths,
  feedbackLengthWords,
  feedbackMissing,
  feedbackMissingWords,
  type ReviewView,
} from '../contracts.js';
import { Button, CheckField, ChoiceField, Instant, Notice, Refusal, TextArea } from '../kit/index.js';

const clarities = [
  { value: '1', words: 'Not clear' },
  { value: '2', words: 'Hardly' },
  { value: '3', words: 'In part' },
  { value: '4', words: 'Mostly' },
  { value: '5', words: 'Clear throughout' },
] as const;
type Clarity = (typeof clarities)[number]['value'];
const lengths = feedbackLengths.map((value) => ({ value, words: feedbackLengthWords[value] }));

export function FeedbackForm({ review }: { review: ReviewView }) {
  return (
    <section className="section stack" aria-labelledby="readers">
      <h2 id="readers">What readers say</h2>
      {review.shownFeedback.length > 0 && (
        <ul className="lines">
          {review.shownFeedback.map((each) => (
            <li key={`${each.at} ${each.words}`}>
              <p className="fact-text">{each.words}</p>
              <p className="small soft">
                A reader, <Instant at={each.at} />
              </p>
            </li>
          ))}
        </ul>
      )}
      {review.feedbackOpen ? <Questions loanId={review.loanId} /> : null}
    </section>
  );
}

function Questions({ loanId }: { loanId: string }) {
  const [clarity, setClarity] = useState<Clarity>('4');
  const [length, setLength] = useState<(typeof feedbackLengths)[number]>('right');
  const [missing, setMissing] = useState<readonly (typeof feedbackMissing)[number][]>([]);
  const [words, setWords] = useState('');
  const giving = useMutation({
    mutationFn: () =>
      api.giveFeedback(loanId, { clarity: Number(clarity), length, missing: [...missing], words }),
  });
  if (giving.isSuccess) {
    return (
      <Notice icon="check" title="Thank you.">
        <p>The team reads it; your words appear here only if the team shows them.</p>
      </Notice>
    );
  }
  const submit = (event: FormEvent) => {
    event.preventDefault();
    giving.mutate();
  };
  return (
    <form className="stack review-feedback" onSubmit={submit}>
      <ChoiceField label="Was it clear?" value={clarity} options={clarities} onChange={setClarity} />
      <ChoiceField label="How long was it?" value={length} options={lengths} onChange={setLength} />
      <fieldset className="choice">
        <legend>What was missing?</legend>
        <div className="review-missing">
          {feedbackMissing.map((part) => (
            <CheckField
              key={part}
              label={feedbackMissingWords[part]}
              checked={missing.includes(part)}
              onChange={(on) => setMissing(on ? [...missing, part] : missing.filter((each) => each !== part))}
            />
          ))}
        </div>
      </fieldset>
      <TextArea
        label="In your own words"
        value={words}
        onChange={setWords}
        hint="No name is asked and no address kept. The team reads it before anybody else does."
      />
      <Refusal error={giving.error} />
      <div>
        <Button type="submit" look="main" busy={giving.isPending}>
          Send
        </Button>
      </div>
    </form>
  );
}
