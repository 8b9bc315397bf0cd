/** The text several people write in at once: the editor, who is in it, and whether every word is kept. */
import type { EditorView } from '@codemirror/view';
import { useEffect, useRef, useState } from 'react';
import { relativePositionToJSON, createRelativePositionFromTypeIndex } from 'yjs';
import { indexOf, stretchOf } from '../../../../libs/drafts/index.js';
import type { DraftCommentView, DraftPresence } from '../contracts.js';
import { Icon, Notice } from '../kit/index.js';
import { LOOKS, openEditor, type DraftEditor } from './draftEditor.js';
import type { DraftLink, DraftLinkView, DraftState } from './draftLink.js';
import { setCarets, setMarked } from './draftMarks.js';

export interface Selection {
  readonly from: number;
  readonly to: number;
  readonly quote: string;
}
const SAY_WHERE_MS = 150;

export function DraftText(props: {
  link: DraftLink | null;
  view: DraftLinkView;
  comments: readonly DraftCommentView[];
  chosen: string | null;
  onSelect: (selection: Selection | null) => void;
}) {
  const { link, view, comments, chosen, onSelect } = props;
  const host = useRef<HTMLDivElement>(null);
  const [editor, setEditor] = useState<DraftEditor | null>(null);
  const others = useOthers(link);

  useEffect(() => {
    if (!link || !host.current) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const opened = openEditor(host.current, link.text, {
      label: 'Text of the review',
      selected: (at) => {
        onSelect(selectionOf(at));
        clearTimeout(timer);
        timer = setTimeout(() => link.sayWhere(whereIs(link, at)), SAY_WHERE_MS);
      },
    });
    setEditor(opened);
    return () => {
      clearTimeout(timer);
      opened.destroy();
      setEditor(null);
    };
  }, [link, onSelect]);

  const mayWrite = view.ready && view.state !== 'closed';
  useEffect(() => editor?.allowWriting(mayWrite), [editor, mayWrite]);
  useEffect(() => {
    if (!editor || !link || !view.ready) return;
    const draw = () => {
      const carets = others.flatMap(({ seat, name, selection }) => {
        const head = selection ? indexOf(link.document, selection.head) : undefined;
        const anchor = selection ? indexOf(link.document, selection.anchor) : undefined;
        return head === undefined || anchor === undefined
          ? []
          : [{ seat, name, look: lookOf(seat), head, anchor }];
      });
      const marked = comments.flatMap(({ id, anchor, state }) => {
        const stretch = anchor && state === 'open' ? stretchOf(link.document, anchor) : undefined;
        return stretch ? [{ id, ...stretch, chosen: id === chosen }] : [];
      });
      editor.view.dispatch({ effects: [setCarets.of(carets), setMarked.of(marked)] });
    };
    draw();
  }, [editor, link, others, comments, chosen, view.ready]);

  return (
    <div className="stack">
      <StateLine view={view} others={others} />
      {(view.state === 'closed' || view.state === 'refused' || view.state === 'too-long') && (
        <Notice tone="wrong" alert title={view.message || 'The draft is closed.'} />
      )}
      <div ref={host} className="draft-editor" data-closed={view.state === 'closed' || undefined} />
    </div>
  );
}

function whereIs(link: DraftLink, { state, hasFocus }: EditorView): DraftPresence['selection'] {
  if (!hasFocus) return null;
  const { anchor, head } = state.selection.main;
  const at = (index: number) =>
    relativePositionToJSON(createRelativePositionFromTypeIndex(link.text, index)) as Record<string, unknown>;
  return { anchor: at(anchor), head: at(head) };
}

function selectionOf({ state }: EditorView): Selection | null {
  const { from, to } = state.selection.main;
  return from === to ? null : { from, to, quote: state.sliceDoc(from, to) };
}

const lookOf = (seat: string): number =>
  Array.from(seat).reduce((sum, letter) => sum + letter.charCodeAt(0), 0) % LOOKS;

function useOthers(link: DraftLink | null): readonly DraftPresence[] {
  const [others, setOthers] = useState<readonly DraftPresence[]>([]);
  useEffect(() => {
    const known = new Set<string>();
    return link?.onPresence((presence) => {
      if (presence === null) {
        known.clear();
        setOthers([]);
        return;
      }
      // Whoever has just come hears who is here.
      if (!presence.left && !known.has(presence.seat)) link.sayHere();
      if (presence.left) known.delete(presence.seat);
      else known.add(presence.seat);
      setOthers((was) => {
        const rest = was.filter(({ seat }) => seat !== presence.seat);
        return presence.left ? rest : [...rest, presence];
      });
    });
  }, [link]);
  return others;
}

const stateWords: Readonly<Record<DraftState, string>> = {
  opening: 'Opening the text…',
  saved: 'Every word is kept',
  saving: 'Sending…',
  'kept-here': 'No connection: what you write is kept in this browser and sent when it is back',
  'not-kept': 'No connection, and this browser keeps nothing: leave this page open',
  'too-long': 'Not kept: the text is full',
  refused: 'Not kept: copy your words, then open the page anew',
  closed: 'Closed to you',
};

function StateLine({ view, others }: { view: DraftLinkView; others: readonly DraftPresence[] }) {
  const names = [...new Set(others.map(({ name }) => name))];
  return (
    <div className="row apart small draft-state" data-state={view.state}>
      <output aria-label="State of the text">
        {view.state === 'saved' && <Icon name="check" size={15} />}
        {(view.state === 'kept-here' || view.state === 'not-kept') && <Icon name="warning" size={15} />}{' '}
        {stateWords[view.state]}
      </output>
      {names.length > 0 && <span className="soft">Also here: {names.join(', ')}</span>}
    </div>
  );
}
