/**
 * The editor of the text. It stands in a shadow root: there its styles are adopted sheets, which the content policy
 * allows, where style elements in the page are not.
 */
import { defaultKeymap } from '@codemirror/commands';
import { markdown } from '@codemirror/lang-markdown';
import { Compartment, EditorState } from '@codemirror/state';
import { EditorView, keymap, placeholder } from '@codemirror/view';
import { yCollab, yUndoManagerKeymap } from 'y-codemirror.next';
import type * as Y from 'yjs';
import { draftMarks } from './draftMarks.js';

export interface DraftEditor {
  readonly view: EditorView;
  allowWriting(allowed: boolean): void;
  destroy(): void;
}

const looks = ['#2f46c4', '#a3221b', '#1d6b4f', '#7a4d00', '#7a2a8c', '#0f6477'];
export const LOOKS = looks.length;

const theme = EditorView.theme({
  '&': { fontFamily: 'var(--text)', fontSize: '1.05rem', color: 'var(--ink)', background: 'var(--sheet)' },
  '&.cm-focused': { outline: '2px solid var(--accent)' },
  '.cm-scroller': { fontFamily: 'inherit', lineHeight: '1.6', overflow: 'auto' },
  '.cm-content': { padding: '1rem', minHeight: '18rem', caretColor: 'var(--ink)' },
  '.cm-line': { padding: '0' },
  '.cm-placeholder': { color: 'var(--ink-soft)' },
  '.commented': { background: 'var(--risk-wash)', borderBottom: '2px solid var(--risk)' },
  '.commented-chosen': { background: 'var(--accent-wash)', borderBottomColor: 'var(--accent)' },
  '.their-caret': {
    position: 'relative',
    borderLeft: '2px solid currentColor',
    marginLeft: '-1px',
    marginRight: '-1px',
  },
  '.their-name': {
    position: 'absolute',
    bottom: '1.15em',
    left: '-2px',
    whiteSpace: 'nowrap',
    fontSize: '0.7rem',
    lineHeight: '1.3',
    padding: '0 0.3em',
    borderRadius: '3px',
    color: '#fff',
    pointerEvents: 'none',
  },
  ...Object.fromEntries(
    looks.flatMap((colour, look) => [
      [`.their-caret.their-look-${look}`, { color: colour }],
      [`.their-look-${look} .their-name`, { background: colour }],
      [`.their-words.their-look-${look}`, { background: `color-mix(in srgb, ${colour} 22%, transparent)` }],
    ]),
  ),
});

export function openEditor(
  host: HTMLElement,
  text: Y.Text,
  doors: { readonly label: string; readonly selected: (view: EditorView) => void },
): DraftEditor {
  const root = host.shadowRoot ?? host.attachShadow({ mode: 'open' });
  const writing = new Compartment();
  const may = (allowed: boolean) => [EditorState.readOnly.of(!allowed), EditorView.editable.of(allowed)];
  const view = new EditorView({
    parent: root,
    root,
    state: EditorState.create({
      doc: text.toJSON(),
      extensions: [
        keymap.of([...yUndoManagerKeymap, ...defaultKeymap]),
        markdown(),
        EditorView.lineWrapping,
        placeholder('Write here; whoever has this page open writes with you. ## begins a heading.'),
        EditorView.contentAttributes.of({
          'aria-label': doors.label,
          'aria-multiline': 'true',
          spellcheck: 'true',
        }),
        yCollab(text, null),
        draftMarks,
        theme,
        writing.of(may(false)),
        EditorView.updateListener.of((update) => {
          if (update.selectionSet || update.docChanged || update.focusChanged) doors.selected(update.view);
        }),
      ],
    }),
  });
  return {
    view,
    allowWriting: (allowed) => view.dispatch({ effects: writing.reconfigure(may(allowed)) }),
    destroy: () => view.destroy(),
  };
}
