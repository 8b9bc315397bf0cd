/** Private previews: made, narrowed, taken back; what their visitors vote and say. */
import { useMutation, useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { queries } from '../api/queries.js';
import {
  previewParts,
  previewPartWords,
  type LoanView,
  type PreviewCommentView,
  type PreviewLinkView,
  type PreviewPart,
  type PreviewsView,
} from '../contracts.js';
import { useRefreshPreviews } from './useRefreshPreviews.js';
import { Answer, Button, CheckField, Instant, Notice, Refusal, TextArea, TextField } from '../kit/index.js';

export function Previews({ loan }: { loan: LoanView }) {
  const previews = useQuery(queries.previews(loan.id));
  return (
    <section className="stack" aria-labelledby="previews">
      <h2 id="previews">Private previews</h2>
      <Answer query={previews} what="the previews">
        {(view) => (
          <>
            <NewPreview loanId={loan.id} view={view} />
            <ul className="lines">
              {view.links.map((link) => (
                <li key={link.id}>
                  <Preview loanId={loan.id} link={link} />
                </li>
              ))}
            </ul>
          </>
        )}
      </Answer>
    </section>
  );
}

function HiddenParts(props: { hidden: readonly PreviewPart[]; onChange: (hidden: PreviewPart[]) => void }) {
  return (
    <fieldset className="stack">
      <legend className="small">Hidden</legend>
      {previewParts.map((part) => (
        <CheckField
          key={part}
          label={previewPartWords[part]}
          checked={props.hidden.includes(part)}
          onChange={(hide) =>
            props.onChange(hide ? [...props.hidden, part] : props.hidden.filter((each) => each !== part))
          }
        />
      ))}
    </fieldset>
  );
}

function NewPreview({ loanId, view }: { loanId: string; view: PreviewsView }) {
  const refresh = useRefreshPreviews(loanId);
  const [open, setOpen] = useState(false);
  const [name, setName] = useState('');
  const [days, setDays] = useState('7');
  const [hidden, setHidden] = useState<PreviewPart[]>([]);
  const [made, setMade] = useState<string | null>(null);
  const making = useMutation({
    mutationFn: (kind: 'private' | 'maker') =>
      api.addPreview(loanId, { kind, name, hidden, daysValid: Number(days) }),
    onSuccess: (link) => {
      setMade(`${window.location.origin}${link.link ?? ''}`);
      setOpen(false);
    },
    onSettled: refresh,
  });
  return (
    <div className="stack">
      {made !== null && (
        <Notice icon="lock" title="Copy this address now: it is shown once.">
          <TextField label="Private address" value={made} onChange={() => undefined} />
          <p className="small">
            Whoever has it may read, without an account, until it ends or you take it back.
          </p>
        </Notice>
      )}
      {view.makerMayComment && <p className="small soft">{roundWords[view.makerRound]}</p>}
      {open ? (
        <div className="stack">
          <TextField label="For whom (if you like)" value={name} onChange={setName} />
          <TextField label="Open for" unit="days" inputMode="numeric" value={days} onChange={setDays} />
          <HiddenParts hidden={hidden} onChange={setHidden} />
          <div className="row">
            <Button look="main" busy={making.isPending} onPress={() => making.mutate('private')}>
              Make the preview
            </Button>
            {view.makerMayComment && (
              <Button busy={making.isPending} onPress={() => making.mutate('maker')}>
                Make it the maker’s comment round
              </Button>
            )}
            <Button look="quiet" onPress={() => setOpen(false)}>
              Leave it
            </Button>
          </div>
          <Refusal error={making.error} />
        </div>
      ) : (
        <div>
          <Button icon="plus" onPress={() => setOpen(true)}>
            New preview
          </Button>
        </div>
      )}
    </div>
  );
}

const roundWords: Readonly<Record<PreviewsView['makerRound'], string>> = {
  'not-agreed': '',
  'not-begun': 'The terms give the maker a word before publication: their round has not begun.',
  open: 'The maker’s comment round is open.',
  over: 'The maker’s comment round is over.',
};
const stateWords: Readonly<Record<PreviewLinkView['state'], string>> = {
  open: 'open',
  expired: 'over',
  revoked: 'taken back',
  closed: 'round closed',
};

function Preview({ loanId, link }: { loanId: string; link: PreviewLinkView }) {
  const refresh = useRefreshPreviews(loanId);
  const { version, id, votes } = link;
  const changing = useMutation({
    mutationFn: (ask: { revoked?: true; closed?: true; hidden?: PreviewPart[] }) =>
      api.changePreview(loanId, id, { version, ...ask }),
    onSettled: refresh,
  });
  const title = link.kind === 'maker' ? 'Maker’s comment round' : 'Preview';
  return (
    <article className="stack" aria-label={`${title}${link.name === '' ? '' : ` for ${link.name}`}`}>
      <div>
        <strong>{title}</strong> {link.name !== '' && <>for {link.name}</>}{' '}
        <span className="tag">{stateWords[link.state]}</span>
        <div className="small soft">
          {link.state === 'open' && (
            <>
              until <Instant at={link.expiresAt} />,{' '}
            </>
          )}
          opened {link.views} {link.views === 1 ? 'time' : 'times'}
        </div>
      </div>
      <div>
        {votes.publish} for publishing, {votes.dont} against
      </div>
      {votes.names.some(({ name }) => name !== '') && (
        <div className="small soft">
          {votes.names
            .filter(({ name }) => name !== '')
            .map(({ name, publish }) => `${name}: ${publish ? 'publish' : 'don’t'}`)
            .join(', ')}
        </div>
      )}
      {link.comments.map((comment) => (
        <VisitorComment key={comment.id} loanId={loanId} comment={comment} />
      ))}
      {link.state === 'open' && (
        <>
          <HiddenParts hidden={link.hidden} onChange={(hidden) => changing.mutate({ hidden })} />
          <div className="row">
            {link.kind === 'maker' && (
              <Button busy={changing.isPending} onPress={() => changing.mutate({ closed: true })}>
                Close the round
              </Button>
            )}
            <Button look="grave" busy={changing.isPending} onPress={() => changing.mutate({ revoked: true })}>
              Take it back
            </Button>
          </div>
        </>
      )}
      <Refusal error={changing.error} />
    </article>
  );
}

function VisitorComment({ loanId, comment }: { loanId: string; comment: PreviewCommentView }) {
  const refresh = useRefreshPreviews(loanId);
  const [answer, setAnswer] = useState('');
  const answering = useMutation({
    mutationFn: () => api.answerPreviewComment(loanId, comment.id, { version: comment.version, answer }),
    onSettled: refresh,
  });
  return (
    <div className="stack comment-answer">
      <div className="small soft">
        {comment.name === '' ? 'A visitor' : comment.name}
        {comment.part !== '' && <> on “{comment.part}”</>}, <Instant at={comment.at} relativeOnly />
      </div>
      <div className="comment-words">{comment.body}</div>
      {comment.answer === '' ? (
        <>
          <TextArea
            label={`Answer to ${comment.name || 'the visitor'}`}
            rows={2}
            value={answer}
            onChange={setAnswer}
          />
          <div>
            <Button
              busy={answering.isPending}
              isDisabled={answer.trim() === ''}
              onPress={() => answering.mutate()}
            >
              Answer
            </Button>
          </div>
          <Refusal error={answering.error} />
        </>
      ) : (
        <div>
          <span className="small soft">{comment.answeredBy} answered:</span> {comment.answer}
        </div>
      )}
    </div>
  );
}
