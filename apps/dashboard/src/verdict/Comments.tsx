/** Comments beside the text: on the words one has marked, on a figure, or on the whole; answers; other wordings. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { anchorAt } from '../../../../libs/drafts/index.js';
import { api } from '../api/api.js';
import { useHere } from '../app/session.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { keys } from '../api/keys.js';
import type { CommentFigure, DraftCommentsView, DraftCommentView, EvidenceChoices } from '../contracts.js';
import { Button, CheckField, Instant, Refusal, SelectField, TextArea } from '../kit/index.js';
import type { DraftLink } from './draftLink.js';
import type { Selection } from './DraftText.js';

interface Shared {
  readonly loanId: string;
  readonly people: DraftCommentsView['people'];
}

export function Comments(props: {
  loanId: string;
  view: DraftCommentsView;
  link: DraftLink | null;
  selection: Selection | null;
  choices: EvidenceChoices | undefined;
  /** The figures are wanted: looking at them opens the data. */
  onFigures: () => void;
  onChoose: (id: string | null) => void;
}) {
  const { view, loanId } = props;
  const [settledToo, setSettledToo] = useState(false);
  const roots = view.comments.filter(({ replyTo }) => replyTo === null);
  const settled = roots.filter(({ state }) => state !== 'open').length;
  const shown = roots.filter(({ state }) => settledToo || state === 'open');
  return (
    <section className="stack" aria-labelledby="comments">
      <h2 id="comments">Comments</h2>
      <NewComment {...props} people={view.people} />
      {roots.length === settled && <p className="soft small">No comment is open.</p>}
      {settled > 0 && (
        <CheckField label={`Settled ones too (${settled})`} checked={settledToo} onChange={setSettledToo} />
      )}
      <ul className="lines">
        {shown.map((comment) => (
          <li key={comment.id} className="stack comment">
            <Comment comment={comment} loanId={loanId} people={view.people} onChoose={props.onChoose} />
            {view.comments
              .filter(({ replyTo }) => replyTo === comment.id)
              .map((answer) => (
                <div key={answer.id} className="comment-answer">
                  <Words comment={answer} people={view.people} />
                </div>
              ))}
            {comment.state === 'open' && <Answer comment={comment} loanId={loanId} people={view.people} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function useKeepComments(loanId: string) {
  const client = useQueryClient();
  return {
    onSuccess: (fresh: DraftCommentsView) => client.setQueryData(keys.draftComments(loanId), fresh),
    onError: () => void client.invalidateQueries({ queryKey: keys.draftComments(loanId) }),
  };
}

/** `@` and a name mentions that person. */
function mentionsIn(words: string, people: Shared['people']): string[] {
  const small = words.toLowerCase();
  return people.filter(({ name }) => small.includes(`@${name.toLowerCase()}`)).map(({ id }) => id);
}

function NewComment(props: {
  loanId: string;
  people: Shared['people'];
  link: DraftLink | null;
  selection: Selection | null;
  choices: EvidenceChoices | undefined;
  onFigures: () => void;
}) {
  const { loanId, people, link, selection, choices } = props;
  const [body, setBody] = useState('');
  const [wording, setWording] = useState('');
  const [figure, setFigure] = useState('');
  const figures: (CommentFigure & { unitName: string })[] = (choices?.units ?? []).flatMap((unit) =>
    unit.figures.map((each) => ({
      analysisId: each.analysisId ?? '',
      name: each.figure ?? '',
      title: `${unit.unitName}: ${each.title}`,
      unitName: unit.unitName,
    })),
  );
  const about = figures.find(({ analysisId, name }) => `${analysisId} ${name}` === figure);
  const adding = useMutation({
    mutationFn: () =>
      api.addDraftComment(loanId, {
        body,
        mentions: mentionsIn(body, people),
        ...(selection && link
          ? { quote: selection.quote, anchor: anchorAt(link.text, selection.from, selection.to) }
          : about
            ? { figure: { analysisId: about.analysisId, name: about.name, title: about.title } }
            : {}),
        ...(selection && wording !== '' ? { replacement: wording } : {}),
      }),
    ...useKeepComments(loanId),
  });
  const send = () =>
    adding.mutate(undefined, {
      onSuccess: () => {
        setBody('');
        setWording('');
      },
    });
  return (
    <div className="stack comment-new">
      <p className="small soft">
        {selection ? (
          <>
            On <q>{shortened(selection.quote)}</q>
          </>
        ) : (
          'On the whole. Mark words in the text to comment on them.'
        )}
      </p>
      <TextArea
        label="Comment"
        rows={2}
        value={body}
        onChange={setBody}
        hint={people.length > 1 ? `@${people[0]?.name ?? ''} tells them.` : undefined}
      />
      {selection && (
        <TextArea
          label="Put this in its place (if you like)"
          rows={2}
          value={wording}
          onChange={setWording}
        />
      )}
      {!selection && figures.length > 0 && (
        <SelectField
          label="About a figure"
          value={figure}
          options={[
            { value: '', words: 'no figure' },
            ...figures.map(({ analysisId, name, title }) => ({
              value: `${analysisId} ${name}`,
              words: title,
            })),
          ]}
          onChange={setFigure}
        />
      )}
      {!selection && !choices && (
        <div>
          <Button look="quiet" icon="curve" onPress={props.onFigures}>
            On a figure
          </Button>
        </div>
      )}
      <div>
        <Button onPress={send} busy={adding.isPending} isDisabled={body.trim() === '' && wording === ''}>
          Comment
        </Button>
      </div>
      <Refusal error={adding.error} />
    </div>
  );
}

const shortened = (words: string): string => (words.length > 120 ? `${words.slice(0, 119)}…` : words);

function Words({ comment, people }: { comment: DraftCommentView; people: Shared['people'] }) {
  const told = people.filter(({ id }) => comment.mentions.includes(id)).map(({ name }) => name);
  return (
    <div>
      <div className="small">
        <strong>{comment.by}</strong>{' '}
        <span className="soft">
          <Instant at={comment.at} relativeOnly />
        </span>
      </div>
      {comment.quote !== '' && <q className="comment-quote">{shortened(comment.quote)}</q>}
      {comment.figure && <div className="small">On the figure “{comment.figure.title}”</div>}
      {comment.body !== '' && <div className="comment-words">{comment.body}</div>}
      {comment.replacement !== null && (
        <div>
          <span className="small soft">Instead:</span>{' '}
          <ins className="comment-instead">{comment.replacement}</ins>
        </div>
      )}
      {told.length > 0 && <div className="small soft">Tells {told.join(', ')}.</div>}
    </div>
  );
}

function Comment(props: { comment: DraftCommentView; onChoose: (id: string) => void } & Shared) {
  const { comment, loanId, people } = props;
  const keep = useKeepComments(loanId);
  const { person } = useHere();
  const { version, id } = comment;
  const settling = useMutation({
    mutationFn: (state: 'open' | 'resolved') => api.changeDraftComment(loanId, id, { version, state }),
    ...keep,
  });
  const deciding = useMutation({
    mutationFn: (accept: boolean) => api.decideSuggestion(loanId, id, { version, accept }),
    ...keep,
  });
  const wording = comment.replacement !== null && comment.state === 'open';
  const decided = comment.state === 'accepted' || comment.state === 'refused';
  return (
    <div className="stack" data-settled={comment.state !== 'open' || undefined}>
      <Words comment={comment} people={people} />
      {comment.state !== 'open' && (
        <div className="small soft">
          {comment.state === 'resolved' ? 'Settled' : comment.state === 'accepted' ? 'Accepted' : 'Refused'}{' '}
          by {comment.decidedBy}
        </div>
      )}
      <div className="row">
        {wording && (
          <>
            <Button busy={deciding.isPending} onPress={() => deciding.mutate(true)}>
              Accept the wording
            </Button>
            <Button busy={deciding.isPending} onPress={() => deciding.mutate(false)}>
              Refuse it
            </Button>
          </>
        )}
        {comment.anchor && comment.state === 'open' && (
          <Button look="quiet" onPress={() => props.onChoose(comment.id)}>
            Show its words
          </Button>
        )}
        {!decided && !wording && (
          <Button
            look="quiet"
            busy={settling.isPending}
            onPress={() => settling.mutate(comment.state === 'open' ? 'resolved' : 'open')}
          >
            {comment.state === 'open' ? 'Settle' : 'Open again'}
          </Button>
        )}
        {comment.byId === person.id && (
          <DeleteThis
            what="this comment"
            name="Your comment"
            goesWith="with the answers to it."
            send={() => api.deleteDraftComment(loanId, id, version)}
            onDeleted={keep.onError}
          />
        )}
      </div>
      <Refusal error={settling.error ?? deciding.error} />
    </div>
  );
}

function Answer({ comment, loanId, people }: { comment: DraftCommentView } & Shared) {
  const [body, setBody] = useState<string | null>(null);
  const answering = useMutation({
    mutationFn: (words: string) =>
      api.addDraftComment(loanId, { body: words, replyTo: comment.id, mentions: mentionsIn(words, people) }),
    ...useKeepComments(loanId),
  });
  if (body === null)
    return (
      <div>
        <Button look="quiet" onPress={() => setBody('')}>
          Answer
        </Button>
      </div>
    );
  return (
    <div className="stack comment-answer">
      <TextArea label={`Answer to ${comment.by}`} rows={2} value={body} onChange={setBody} />
      <div className="row">
        <Button
          busy={answering.isPending}
          isDisabled={body.trim() === ''}
          onPress={() => answering.mutate(body, { onSuccess: () => setBody(null) })}
        >
          Send the answer
        </Button>
        <Button look="quiet" onPress={() => setBody(null)}>
          Leave it
        </Button>
      </div>
      <Refusal error={answering.error} />
    </div>
  );
}
