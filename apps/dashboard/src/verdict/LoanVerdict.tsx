/** The writing room of a loan: the text several people write, its points, comments, sign-offs and previews. */
import { useQuery } from '@tanstack/react-query';
import { useCallback, useState } from 'react';
import { evidenceSentences } from '../../../../libs/drafts/index.js';
import { queries } from '../api/queries.js';
import { suggestionWords, type LoanView, type Point } from '../contracts.js';
import { Answer, Button, Icon, Notice } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { Comments } from './Comments.js';
import { DraftText, type Selection } from './DraftText.js';
import { Outline } from './Outline.js';
import { PointsEditor } from './PointsEditor.js';
import { Previews } from './Previews.js';
import { SignOffs } from './SignOffs.js';
import { Spoken } from './Spoken.js';
import { useDraft, useDraftText } from './useDraft.js';
import '../styles/verdict.css';

export function LoanVerdict() {
  const loan = useLoan();
  if (loan.verdict.sealedForYou)
    return (
      <Notice icon="lock" title="Sealed for you">
        <p>
          You are listening to a unit of this loan blind. Its draft opens to you when you seal your session.
        </p>
      </Notice>
    );
  return <WritingRoom key={loan.id} loan={loan} />;
}

function WritingRoom({ loan }: { loan: LoanView }) {
  const { link, view } = useDraft(loan.id);
  const text = useDraftText(link);
  const comments = useQuery(queries.draftComments(loan.id));
  const [choosing, setChoosing] = useState(false);
  const choices = useQuery({ ...queries.evidenceChoices(loan.id), enabled: choosing });
  const [selection, setSelection] = useState<Selection | null>(null);
  const [chosen, setChosen] = useState<string | null>(null);
  const select = useCallback((next: Selection | null) => setSelection(next), []);
  return (
    <div className="verdict">
      <div className="stack">
        <div className="row apart">
          <h2>Text</h2>
          <Spoken loan={loan} text={text} />
        </div>
        <DraftText
          link={link}
          view={view}
          comments={comments.data?.comments ?? []}
          chosen={chosen}
          onSelect={select}
        />
        <div className="row">
          <a className="button" href={`/api/loans/${loan.id}/draft/review.html`} download>
            <Icon name="download" size={16} /> One page (HTML)
          </a>
          <a className="button" href={`/api/loans/${loan.id}/draft/review.zip`} download>
            <Icon name="download" size={16} /> Markdown with figures
          </a>
        </div>
        <PointsPart
          loan={loan}
          choices={choices.data}
          onEdit={(editing) => setChoosing((was) => was || editing)}
        />
      </div>
      <div className="stack">
        <SignOffs loan={loan} draftVersion={view.draftVersion ?? loan.verdict.draftVersion} />
        <Answer query={comments} what="the comments">
          {(found) => (
            <Comments
              loanId={loan.id}
              view={found}
              link={link}
              selection={selection}
              choices={choices.data}
              onFigures={() => setChoosing(true)}
              onChoose={setChosen}
            />
          )}
        </Answer>
        <Outline loan={loan} link={link} text={text} />
        <Previews loan={loan} />
      </div>
    </div>
  );
}

function PointsPart(props: {
  loan: LoanView;
  choices: Parameters<typeof PointsEditor>[0]['choices'];
  onEdit: (editing: boolean) => void;
}) {
  const [editing, setEditing] = useState(false);
  const { pros, cons, suggestions } = props.loan.verdict.points;
  const none = pros.length + cons.length + suggestions.length === 0;
  const edit = (next: boolean) => {
    setEditing(next);
    props.onEdit(next);
  };
  return (
    <section className="stack" aria-labelledby="points">
      <div className="row apart">
        <h2 id="points">Pros, cons, suggestions</h2>
        {!editing && (
          <Button icon="pencil" onPress={() => edit(true)}>
            {none ? 'Begin the points' : 'Change the points'}
          </Button>
        )}
      </div>
      {editing ? (
        <PointsEditor loan={props.loan} choices={props.choices} onLeave={() => edit(false)} />
      ) : (
        <>
          {none && <p className="soft">Nothing written yet.</p>}
          <PointList title="For it" icon="plus" points={pros} />
          <PointList title="Against it" icon="minus" points={cons} asks />
          <PointList
            title="Suggestions"
            icon="arrow"
            points={suggestions.map((one) => ({
              ...one,
              text: `${suggestionWords[one.about]}: ${one.text}`,
            }))}
          />
        </>
      )}
    </section>
  );
}

function PointList(props: {
  title: string;
  icon: 'plus' | 'minus' | 'arrow';
  points: readonly Point[];
  /** A con without evidence keeps the review from going out. */
  asks?: boolean;
}) {
  if (props.points.length === 0) return null;
  return (
    <section className="stack">
      <h3>{props.title}</h3>
      <ul className="lines">
        {props.points.map((point) => {
          const evidence = evidenceSentences(point);
          return (
            <li key={point.text} className="point">
              <Icon name={props.icon} size={16} />
              <div>
                {point.text}
                {evidence.map((sentence) => (
                  <div key={sentence} className="small soft">
                    {sentence}
                  </div>
                ))}
                {evidence.length === 0 && props.asks && (
                  <div className="small no-evidence">
                    Without evidence yet: attach some, or say that there is none.
                  </div>
                )}
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
