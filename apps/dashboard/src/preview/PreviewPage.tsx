/** An unpublished review for somebody without an account. The secret stands behind `#`, so no log holds it. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useEffect, useRef, useState } from 'react';
import { useLocation } from 'react-router';
import { api } from '../api/api.js';
import type { PreviewSection, PreviewView } from '../contracts.js';
import { Door } from '../door/Door.js';
import {
  Answer,
  Button,
  Instant,
  InventedMark,
  Refusal,
  TextArea,
  TextField,
  useTitle,
} from '../kit/index.js';
import { isStatus } from '../words/refusals.js';
import { visitorMark } from './visitorMark.js';
import '../styles/verdict.css';

const STILL_EVERY_MS = 4000;
const key = ['preview'];

export function PreviewPage() {
  const token = useLocation().hash.slice(1);
  const client = useQueryClient();
  const visitor = visitorMark();
  const preview = useQuery({
    queryKey: key,
    queryFn: ({ client: asked }) =>
      api.lookAtPreview({ token, visitor, again: asked.getQueryData(key) !== undefined }),
    enabled: token !== '',
    retry: false,
    staleTime: Infinity,
    refetchOnWindowFocus: false,
  });
  const still = useQuery({
    queryKey: ['preview-still'],
    queryFn: () => api.previewStill({ token, visitor }),
    enabled: preview.isSuccess,
    refetchInterval: STILL_EVERY_MS,
    retry: false,
  });
  const mark = still.data?.mark;
  const last = useRef<string | undefined>(undefined);
  useEffect(() => {
    if (mark === undefined) return;
    // Something a visitor sees has changed since the page was read.
    if (last.current !== undefined && last.current !== mark) void client.invalidateQueries({ queryKey: key });
    last.current = mark;
  }, [mark, client]);
  if (token === '' || isStatus(still.error, 404) || isStatus(preview.error, 404))
    return (
      <Door
        title="This preview is not open"
        lead="It has run out, was taken back, or its address is incomplete. Ask whoever gave it to you for a new one."
      >
        {null}
      </Door>
    );
  if (!preview.data)
    return (
      <Door title="A private preview">
        <Answer query={preview} what="the preview">
          {() => null}
        </Answer>
      </Door>
    );
  return <Shown view={preview.data} token={token} visitor={visitor} />;
}

function Shown({ view, token, visitor }: { view: PreviewView; token: string; visitor: string }) {
  useTitle(view.title);
  return (
    <main className="preview">
      <header>
        <p className="small soft">
          A private preview by {view.teamName}, until <Instant at={view.expiresAt} />. Not published: please
          keep it to yourself.
        </p>
        <h1>
          {view.title} {view.invented && <InventedMark />}
        </h1>
        <p className="soft">{[view.makerName, ...view.units].join(' · ')}</p>
      </header>
      {view.sections.length === 0 && <p className="empty">Nothing is shown yet.</p>}
      {view.sections.map((section, index) => (
        <section key={`${section.part} ${section.title} ${index}`} className="stack">
          {section.title !== '' && <h2>{section.title}</h2>}
          <SectionBody section={section} />
        </section>
      ))}
      <YourWord view={view} token={token} visitor={visitor} />
    </main>
  );
}

function SectionBody({ section }: { section: PreviewSection }) {
  switch (section.part) {
    case 'text':
      // Made by the server from Markdown without embedded HTML; the content policy runs nothing besides.
      // oxlint-disable-next-line react/no-danger
      return <div className="preview-text" dangerouslySetInnerHTML={{ __html: section.html }} />;
    case 'figures':
      return section.figures.map(({ title, unitName, svg }) => (
        <figure key={`${unitName} ${title}`} className="preview-figure">
          <figcaption>
            {unitName}: {title}
          </figcaption>
          <img
            alt={`${unitName}: ${title}`}
            src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`}
          />
        </figure>
      ));
    case 'findings':
      return (
        <ul>
          {section.findings.map(({ unitName, sentence }) => (
            <li key={`${unitName} ${sentence}`}>
              {unitName}: {sentence}
            </li>
          ))}
        </ul>
      );
    case 'numbers':
      return (
        <dl className="facts">
          {section.numbers.map(({ unitName, label, value }) => (
            <div key={`${unitName} ${label}`}>
              <dt>
                {unitName}: {label}
              </dt>
              <dd className="num">{value}</dd>
            </div>
          ))}
        </dl>
      );
    default:
      return (
        <ul>
          {section.points.map(({ about, text, evidence }) => (
            <li key={text}>
              {about && <strong>{about}: </strong>}
              {text}
              {evidence.map((sentence) => (
                <div key={sentence} className="small soft">
                  {sentence}
                </div>
              ))}
            </li>
          ))}
        </ul>
      );
  }
}

function YourWord({ view, token, visitor }: { view: PreviewView; token: string; visitor: string }) {
  const client = useQueryClient();
  const [name, setName] = useState('');
  const [body, setBody] = useState('');
  const keep = { onSuccess: (fresh: PreviewView) => client.setQueryData(key, fresh) };
  const voting = useMutation({
    mutationFn: (publish: boolean) => api.voteOnPreview({ token, visitor, publish, name }),
    ...keep,
  });
  const commenting = useMutation({
    mutationFn: () => api.commentOnPreview({ token, visitor, body, name }),
    ...keep,
  });
  if (view.closed) return <p className="notice">The comment round is over. Thank you.</p>;
  return (
    <section className="stack preview-word" aria-labelledby="your-word">
      <h2 id="your-word">Your word</h2>
      <TextField label="Your name (if you like)" value={name} onChange={setName} />
      <div className="row">
        <Button
          look={view.vote === true ? 'main' : 'plain'}
          busy={voting.isPending}
          onPress={() => voting.mutate(true)}
        >
          Publish it
        </Button>
        <Button
          look={view.vote === false ? 'main' : 'plain'}
          busy={voting.isPending}
          onPress={() => voting.mutate(false)}
        >
          Don’t publish it
        </Button>
        <output className="small soft">
          {view.vote === null ? '' : view.vote ? 'You say: publish it.' : 'You say: don’t publish it.'}
        </output>
      </div>
      <TextArea label="Comment to the team" rows={3} value={body} onChange={setBody} />
      <div>
        <Button
          busy={commenting.isPending}
          isDisabled={body.trim() === ''}
          onPress={() => commenting.mutate(undefined, { onSuccess: () => setBody('') })}
        >
          Send the comment
        </Button>
      </div>
      <Refusal error={voting.error ?? commenting.error} />
      {view.comments.map((comment) => (
        <div key={comment.at} className="comment-answer">
          <div className="comment-words">{comment.body}</div>
          {comment.answer !== '' && (
            <div>
              <span className="small soft">{comment.answeredBy} answered:</span> {comment.answer}
            </div>
          )}
        </div>
      ))}
    </section>
  );
}
