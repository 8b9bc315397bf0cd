/** The parts of the review in the team's order: moved by dragging or by the arrows. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { missingHeadings } from '../../../../libs/drafts/index.js';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { LoanView, OutlineItem } from '../contracts.js';
import { Button, IconButton, Refusal, TextField } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import type { DraftLink } from './draftLink.js';

export function Outline({ loan, link, text }: { loan: LoanView; link: DraftLink | null; text: string }) {
  const { outline, ownOutline, version } = loan.verdict;
  const refresh = useRefreshLoan(loan.id);
  const client = useQueryClient();
  const [dragged, setDragged] = useState<number | null>(null);
  const [heading, setHeading] = useState('');
  const saving = useMutation({
    mutationFn: (next: OutlineItem[] | null) => api.changeVerdict(loan.id, { version, outline: next }),
    onSettled: refresh,
  });
  const forAll = useMutation({
    mutationFn: async () => {
      const house = await api.draftHouse();
      return api.changeDraftHouse({ version: house.version, outline });
    },
    onSettled: () => client.invalidateQueries({ queryKey: keys.loan(loan.id) }),
  });
  const move = (from: number, to: number) => {
    if (to < 0 || to >= outline.length || from === to) return;
    const next = [...outline];
    next.splice(to, 0, ...next.splice(from, 1));
    saving.mutate(next);
  };
  const missing = missingHeadings(text, outline);
  const insert = (title: string) => {
    if (!link) return;
    link.text.insert(link.text.length, `${link.text.length > 0 ? '\n\n' : ''}## ${title}\n`);
  };
  return (
    <section className="stack" aria-labelledby="outline">
      <h2 id="outline">Outline</h2>
      <p className="small soft">
        {ownOutline ? 'This review has an order of its own.' : 'The team’s usual order.'} Exports and previews
        follow it.
      </p>
      <ol className="outline">
        {outline.map((item, index) => (
          // The arrows do the same for keyboards.
          // oxlint-disable-next-line jsx-a11y/no-noninteractive-element-interactions
          <li
            key={item.id}
            className="row apart"
            draggable
            onDragStart={() => setDragged(index)}
            onDragOver={(event) => event.preventDefault()}
            onDrop={() => {
              if (dragged !== null) move(dragged, index);
              setDragged(null);
            }}
          >
            <span>
              {item.title} {item.part !== 'text' && <span className="small soft">made by itself</span>}
            </span>
            <span className="outline-acts">
              {item.part === 'text' && missing.includes(item.title) && (
                <IconButton
                  icon="plus"
                  label={`Begin “${item.title}” in the text`}
                  onPress={() => insert(item.title)}
                />
              )}
              <button
                type="button"
                className="outline-move"
                aria-label={`Move “${item.title}” up`}
                onClick={() => move(index, index - 1)}
              >
                ↑
              </button>
              <button
                type="button"
                className="outline-move"
                aria-label={`Move “${item.title}” down`}
                onClick={() => move(index, index + 1)}
              >
                ↓
              </button>
              <IconButton
                icon="cross"
                label={`Leave out “${item.title}”`}
                onPress={() => saving.mutate(outline.filter(({ id }) => id !== item.id))}
              />
            </span>
          </li>
        ))}
      </ol>
      <TextField label="Another heading" value={heading} onChange={setHeading} />
      <div className="row">
        <Button
          isDisabled={heading.trim() === ''}
          onPress={() => {
            saving.mutate([...outline, { id: `own-${Date.now()}`, part: 'text', title: heading.trim() }]);
            setHeading('');
          }}
        >
          Add it
        </Button>
        {ownOutline && (
          <>
            <Button look="quiet" onPress={() => saving.mutate(null)}>
              Back to the team’s order
            </Button>
            <Button look="quiet" busy={forAll.isPending} onPress={() => forAll.mutate()}>
              Make it the team’s order
            </Button>
          </>
        )}
      </div>
      <Refusal error={saving.error ?? forAll.error} />
    </section>
  );
}
